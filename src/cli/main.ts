#!/usr/bin/env node
import * as nodeModule from "node:module";
import { isMainThread } from "node:worker_threads";

// Of a start most is compiling; Node 22 and later keep what they compiled.
const keepCompiled: unknown = Reflect.get(nodeModule, "enableCompileCache");
if (typeof keepCompiled === "function") keepCompiled();

const { inOneLine, readStdin } = await import("./io.ts");

// Who closed standard error wants no remarks.
process.stderr.on("error", () => undefined);

process.stdout.on("error", (error) => {
  // A reader that closes the pipe early (`| head`) is no error.
  if (Reflect.get(error, "code") === "EPIPE") process.exit(0);
  process.stderr.write(`the answer can't be written: ${inOneLine(error)}\n`);
  process.exit(1);
});

const hearing = isMainThread ? undefined : await import("./class-takes.ts");
if (hearing?.isHearing() === true) hearing.hearAsWorker();
else {
  const columns = process.stdout.isTTY ? process.stdout.columns : undefined;
  const { run } = await import("./run.ts");
  process.exitCode = await run(process.argv.slice(2), {
    write: (text) => process.stdout.write(text),
    complain: (text) => process.stderr.write(text),
    ...(process.stderr.isTTY && columns !== undefined && { draw: (text: string) => process.stderr.write(text) }),
    readStdin,
    columns,
    script: import.meta.url,
  });
}

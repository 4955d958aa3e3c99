#!/usr/bin/env node
import { hearAsWorker, isHearing } from "./class-takes.ts";
import { readStdin } from "./io.ts";
import { run } from "./run.ts";

// A reader that closes the pipe early (`| head`) is no error.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code !== "EPIPE") throw error;
  process.exitCode = 0;
});

if (isHearing()) hearAsWorker();
else
  process.exitCode = await run(process.argv.slice(2), {
    write: (text) => process.stdout.write(text),
    complain: (text) => process.stderr.write(text),
    readStdin,
    columns: process.stdout.isTTY ? process.stdout.columns : undefined,
    script: import.meta.url,
  });

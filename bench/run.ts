import { readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";

const folder = fileURLToPath(new URL(".", import.meta.url));
for (const name of readdirSync(folder)
  .filter((file) => file.endsWith(".ts") && !["run.ts", "measure.ts"].includes(file))
  .sort()) {
  console.log(`\n# ${name}`);
  await import(`./${name}`);
}

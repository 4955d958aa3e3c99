// Renews the tables of the guide: npx tsx tests/assess/write-report.ts
import { readFileSync, writeFileSync } from "node:fs";
import { reportTables, withTables } from "./proof.ts";

const guide = new URL("../../docs/assessment.md", import.meta.url);
writeFileSync(guide, withTables(readFileSync(guide, "utf8"), reportTables()));

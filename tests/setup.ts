import fc from "fast-check";

// Every law tries the same cases on every machine; `npm run nightly` tries others, and prints the seed of what fails.
fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: 20261129 });

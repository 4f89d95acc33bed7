#!/usr/bin/env node
const { existsSync } = require("node:fs");
const { join } = require("node:path");
const { loadProgram } = require("./load-program.js");

const folder = join(__dirname, "..", "program");
if (existsSync(join(folder, "main.js"))) {
  loadProgram(folder, "main.js").main(process.argv.slice(2));
} else {
  process.stderr.write(
    "deskround: not built yet: run `npm ci` (or `npm run build`) in its folder.\n",
  );
  process.exitCode = 2;
}

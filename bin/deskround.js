#!/usr/bin/env node
import module from "node:module";
import { fileURLToPath } from "node:url";

// Node.js from 22.1 on keeps there what it compiled, if the folder can be written to.
module.enableCompileCache?.(fileURLToPath(new URL("../program/.compiled", import.meta.url)));
try {
  const { main } = await import("../program/main.js");
  await main(process.argv.slice(2));
} catch (error) {
  if (error.code !== "ERR_MODULE_NOT_FOUND") throw error;
  process.stderr.write(
    "deskround: not built yet: run `npm ci` (or `npm run build`) in its folder.\n",
  );
  process.exitCode = 2;
}

#!/usr/bin/env node
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

/**
 * Makes the man page from what `--help` says: `man/deskround.1`.
 *
 *     node scripts/man.mjs
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import { createProgram } from "../dist/cli/main.js";
import { renderManPage } from "../dist/cli/man-page.js";

const file = fileURLToPath(new URL("../man/deskround.1", import.meta.url));
mkdirSync(dirname(file), { recursive: true });
writeFileSync(file, renderManPage(createProgram()));

import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";

const root = fileURLToPath(new URL("../../../", import.meta.url));

/** It learns for minutes where other tests are busy. */
const patienceMs = 900_000;

it(
  "learns the same words again from the notes that are kept",
  () => {
    const file = join(mkdtempSync(join(tmpdir(), "note-words-")), "again.json");
    execFileSync(process.execPath, [join(root, "scripts/notes/train.mjs"), "--into", file], {
      stdio: "ignore",
    });
    expect(JSON.parse(readFileSync(file, "utf8"))).toEqual(
      JSON.parse(readFileSync(join(root, "data/note-words.json"), "utf8")),
    );
  },
  patienceMs,
);

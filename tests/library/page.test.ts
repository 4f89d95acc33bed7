import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";

const root = fileURLToPath(new URL("../../", import.meta.url));

it("the page's program prints the response of a recording, used as a package", () => {
  const [, program] = /```js\n([\s\S]*?)```/.exec(readFileSync(`${root}docs/library.md`, "utf8"))!;
  const folder = mkdtempSync(join(tmpdir(), "library-"));
  mkdirSync(join(folder, "node_modules"));
  symlinkSync(root, join(folder, "node_modules", "deskround"));
  writeFileSync(join(folder, "curve.mjs"), program);
  const recording = `${root}fixtures/kept-signals/quick-1-base-44100.flac`;
  const printed = execFileSync(process.execPath, ["curve.mjs", recording], {
    cwd: folder,
    encoding: "utf8",
  });
  const rows = printed
    .trim()
    .split("\n")
    .map((line) => line.split(" ").map(Number));
  expect(rows.map(([hz]) => hz)).toEqual([50, 1000, 15_000]);
  // First-order high-pass of 100 Hz against 1 kHz: −6.99 + 0.04 dB at 50 Hz, + 0.04 dB far above.
  expect(rows[0][1]).toBeCloseTo(-6.95, 1);
  expect(rows[1][1]).toBe(0);
  expect(rows[2][1]).toBeCloseTo(0.04, 1);
});

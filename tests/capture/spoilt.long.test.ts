import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, it } from "vitest";

const scripts = new URL("../../scripts/", import.meta.url);
const { readHeaderCase } = await import(new URL("fuzz/headers.mjs", scripts).href);
const { findBodyCase } = await import(new URL("fuzz/bodies.mjs", scripts).href);

const folder = mkdtempSync(join(tmpdir(), "spoilt-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("damaged files", () => {
  it("are read or refused with words for the user, thousands of headers", async () => {
    const outcomes = { read: 0, refused: 0 };
    for (let seed = 1; seed <= 3000; seed++) {
      outcomes[(await readHeaderCase(seed, join(folder, "a.wav"))) as keyof typeof outcomes]++;
    }
    expect(outcomes.read).toBeGreaterThan(300);
    expect(outcomes.refused).toBeGreaterThan(300);
  });

  it("are searched without harm, and what was put in is found in its place", () => {
    const outcomes = { found: 0, none: 0 };
    for (let seed = 1; seed <= 120; seed++) {
      outcomes[findBodyCase(seed) as keyof typeof outcomes]++;
    }
    expect(outcomes.found).toBeGreaterThan(5);
  });
});

describe("a program killed at any moment", () => {
  it("leaves every round whole and earlier ones untouched", () => {
    const script = fileURLToPath(new URL("kill/kill.mjs", scripts));
    const { status, stderr, stdout } = spawnSync(process.execPath, [script, "5", "3"], {
      encoding: "utf8",
    });
    expect(stderr).toBe("");
    expect(status).toBe(0);
    expect(stdout).toMatch(/^5 runs: .* all whole and none touched/);
  });
});

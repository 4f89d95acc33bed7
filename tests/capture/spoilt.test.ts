import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { slow } from "../helpers/slow.js";

const scripts = new URL("../../scripts/", import.meta.url);
const { readHeaderCase } = await import(new URL("fuzz/headers.mjs", scripts).href);
const { readContainerCase } = await import(new URL("fuzz/containers.mjs", scripts).href);
const { findBodyCase } = await import(new URL("fuzz/bodies.mjs", scripts).href);

const folder = mkdtempSync(join(tmpdir(), "spoilt-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

// spoilt.long.test.ts tries ten times as many.
describe("damaged files", () => {
  it("are read or refused with words for the user, hundreds of headers", async () => {
    const outcomes = { read: 0, refused: 0 };
    for (let seed = 1; seed <= 300; seed++) {
      outcomes[(await readHeaderCase(seed, join(folder, "a.wav"))) as keyof typeof outcomes]++;
    }
    expect(outcomes.read).toBeGreaterThan(30);
    expect(outcomes.refused).toBeGreaterThan(30);
  });

  it(
    "are read or refused likewise when they were FLAC or AIFF, hundreds of them",
    slow,
    async () => {
      const outcomes = { read: 0, damaged: 0, refused: 0 };
      for (let seed = 1; seed <= 200; seed++) {
        const outcome = await readContainerCase(seed, join(folder, "a.flac"));
        outcomes[outcome as keyof typeof outcomes]++;
      }
      expect(Math.min(...Object.values(outcomes))).toBeGreaterThan(10);
    },
  );

  it("are searched without harm, and what was put in is found in its place", () => {
    const outcomes = { found: 0, none: 0 };
    for (let seed = 1; seed <= 15; seed++) {
      outcomes[findBodyCase(seed) as keyof typeof outcomes]++;
    }
    expect(outcomes.found).toBeGreaterThan(0);
  });
});

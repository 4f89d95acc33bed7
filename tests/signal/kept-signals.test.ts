import { readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { inspectRecording } from "../../src/capture/containers/inspect-recording.js";
import { openSamples } from "../../src/capture/containers/open-samples.js";
import { findReturns } from "../../src/capture/find/find-returns.js";
import { buildReturnTable } from "../../src/capture/find/return-table.js";
import { sliceReturn } from "../../src/capture/slice-return.js";
import { measureReturn } from "../../src/measure/measure.js";
import { signalProfiles } from "../../src/signal/signal-table.js";

const folder = fileURLToPath(new URL("../../fixtures/kept-signals/", import.meta.url));
const kept = readdirSync(folder)
  .filter((name) => name.endsWith(".flac"))
  .map((name) => {
    const [, profile, version, band] = /^(\w+)-(\d+)-(\w+)-/.exec(name) ?? [];
    return { name, profile, version: Number(version), band };
  });

/** First-order high-pass, decibels against its response at 1 kHz. */
function highPassDb(hz: number, cornerHz: number): number {
  const power = (f: number) => 1 / (1 + (cornerHz / f) ** 2);
  return 10 * Math.log10(power(hz) / power(1000));
}

describe("a kept recording", () => {
  it.each(kept)("$name is read as the version it is", async ({ name, profile, version, band }) => {
    const reader = await openSamples(inspectRecording(`${folder}${name}`));
    const { returns } = findReturns(reader);
    expect(returns).toMatchObject([{ profile, signalVersion: version, band }]);
    const [found] = returns;
    const sliced = sliceReturn(reader, found);
    reader.close();
    const table = buildReturnTable(found);
    const { curves, controls } = measureReturn({ ...sliced, table, mainsHz: 50 });
    if (profile === "controls") {
      // A filter stands still: none of the segments in which a hand turns something shows a thing.
      // The five controls of a new desk were to be moved, at every version.
      expect(controls).toHaveLength(5);
      for (const one of controls ?? []) {
        expect(one).toMatchObject({ moved: "not seen", events: [], verdicts: ["sound"] });
      }
      return;
    }
    const { x, y } = curves.response;
    // The corner is SoX's own parameter, 100 Hz; its one-pole filter is the closed form's to 0.05 dB there.
    for (const hz of [30, 50, 100, 200, 500]) {
      const at = x.reduce(
        (best, f, k) => (Math.abs(f - hz) < Math.abs(x[best] - hz) ? k : best),
        0,
      );
      expect(Math.abs(y[at] - highPassDb(x[at], 100))).toBeLessThan(0.05);
    }
  });
});

it("every version that is written has a kept recording", () => {
  const names = kept.map(({ profile, version }) => `${profile} ${version}`);
  for (const { profile, version } of signalProfiles) {
    expect(names).toContain(`${profile} ${version}`);
  }
});

it("every version of a profile has a code and a number of its own", () => {
  const codes = signalProfiles.map(({ code }) => code);
  expect(new Set(codes).size).toBe(codes.length);
  const names = signalProfiles.map(({ profile, version }) => `${profile} ${version}`);
  expect(new Set(names).size).toBe(names.length);
  // Code 3 was that of the first controls pass.
  expect(codes).not.toContain(3);
});

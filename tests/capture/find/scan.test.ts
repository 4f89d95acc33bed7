import { describe, expect, it } from "vitest";
import { findReturns } from "../../../src/capture/find/find-returns.js";
import { splitIntoBlocks } from "../../../src/capture/find/scan.js";
import { buildSignalTable, computeMarkerSpacing } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn, memoryReader, sineRms } from "../../helpers/captures.js";
import { slow } from "../../helpers/slow.js";

// Expected values: the synthetic capture's own construction.

const rate = 44_100;
const quick = buildSignalTable("quick", "base");

describe("the stretches of a long capture", () => {
  it("cover it without a gap, whatever its length", () => {
    for (const frames of [0, 1, 60 * rate, 89.9 * rate, 3601 * rate].map(Math.floor)) {
      const stretches = splitIntoBlocks([17, frames + 17], rate);
      expect(stretches[0][0]).toBe(17);
      expect(stretches.at(-1)?.[1]).toBe(frames + 17);
      stretches.slice(1).forEach(([from], k) => {
        expect(from).toBe(stretches[k][1]);
      });
      for (const [from, until] of stretches) expect(until - from).toBeLessThan(92 * rate);
    }
  });

  it("hide no return whose markers lie across their border, and double none", slow, () => {
    const [[, border]] = splitIntoBlocks([0, 125 * rate], rate);
    const start = quick.segments.find((s) => s.kind === "marker");
    if (start?.kind !== "marker") throw new Error("no marker");
    const spacing = computeMarkerSpacing("quick", "base") * rate;
    // The border within the first chirp, between the two, within the second, and at their beginnings.
    for (const into of [0.02, 0.149, 0.16]) {
      for (const chirpAt of [0, spacing]) {
        const at = border - into * rate - chirpAt - start.startS * rate;
        expectOne(at);
      }
    }
    for (const off of [-0.6, -0.01, 0, 0.3, 40]) expectOne(border + off - start.startS * rate);
  });

  function expectOne(at: number) {
    const capture = new Float64Array(125 * rate);
    addReturn(capture, quick, rate, at, -80, 0.3);
    addNoise(capture.subarray(Math.floor(at) - rate, Math.floor(at) + 8 * rate), sineRms(-60), 5);
    const { returns, cuts, heard, strange } = findReturns(memoryReader([capture], rate));
    expect(returns).toHaveLength(1);
    expect(Math.abs(returns[0].startSample - at)).toBeLessThan(0.05);
    expect(cuts).toHaveLength(0);
    expect(strange).toBe(0);
    expect(heard[0].frames).toBe(capture.length);
  }
});

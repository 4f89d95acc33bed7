import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { readDesk } from "../../src/desk/read/read-desk.js";
import { formatChain } from "../../src/report/sitting/format-chain.js";
import { listChainFaults, readChain, softerDb } from "../../src/sitting/check-chain.js";
import { answer, joined, newDesk, pause, without, writeCapture } from "../jobs/recordings.js";

// Expected values: the recordings' own construction.

const rate = 48_000;
const soft = 10 ** (-softerDb / 20);
const folder = mkdtempSync(join(tmpdir(), "chain-"));
const desk = newDesk(2);
afterAll(() => {
  for (const one of [folder, desk]) rmSync(one, { recursive: true, force: true });
});

let count = 0;
function read(samples: Float64Array) {
  count++;
  const all = joined(pause(0.4, rate, 1e-6), samples, pause(0.4, rate, 1e-6));
  return readChain(writeCapture(join(folder, `${count}.wav`), [all], rate), readDesk(desk));
}

const came = (gain: number, driftPpm = 0) =>
  answer(rate, { gain: soft * gain, noise: 1e-6, driftPpm });

describe("what a soft signal reports a chain", () => {
  it("calls a plain one sound, and says its level", async () => {
    const chain = await read(came(0.5));
    expect(listChainFaults(chain)).toEqual([]);
    expect(chain.gainDb).toBeCloseTo(20 * Math.log10(0.5), 1);
    expect(formatChain(chain)[0]).toMatch(
      /^The chain is in order\. .*−6\.0 dB of what was sent, at 48 kHz\.$/,
    );
  });

  it("notices a level that moves within the signal", async () => {
    // An automatic gain brings it up by 3 dB, evenly in decibels.
    const samples = came(0.5);
    const moved = samples.map((x, n) => x * 10 ** ((3 * n) / samples.length / 20));
    const chain = await read(moved);
    expect(listChainFaults(chain)).toEqual(["level-moves"]);
    expect(chain.levelMovesDb).toBeGreaterThan(2);
    expect(chain.levelMovesDb).toBeLessThan(3);
  });

  it.each([
    ["clips", () => came(60).map((x) => Math.max(-0.25, Math.min(0.25, x)) * 4)],
    ["slips", () => without(came(0.5), 2, 2.05, rate)],
    ["two-clocks", () => came(0.5, 60)],
    ["level-off", () => came(0.01)],
    ["inverted", () => came(-0.5)],
  ] as const)("notices that it %s", async (fault, make) => {
    expect(listChainFaults(await read(make()))).toContain(fault);
  });

  it("says what was heard where nothing comes back", async () => {
    const chain = await read(pause(3, rate, 1e-4));
    expect(listChainFaults(chain)).toEqual(["nothing"]);
    expect(formatChain(chain)[0]).toMatch(/^The signal did not come back: what was heard is /);
  });
});

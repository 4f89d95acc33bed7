import { describe, expect, it } from "vitest";
import { findReturns } from "../../../src/capture/find/find-returns.js";
import { buildPassSignal, type PassForm } from "../../../src/signal/pass-signal.js";
import { addNoise, addReturn, memoryReader } from "../../helpers/captures.js";
import { slow } from "../../helpers/slow.js";

// Expected values: the outputs whose signals are put in.

const rate = 48_000;

function record(
  form: PassForm,
  count: number,
  channels: number,
  place: (output: number) => readonly (readonly [channel: number, gain: number])[],
  noise = 1e-5,
) {
  const pass = buildPassSignal("quick", "base", new Array(count).fill(true), form);
  const out = Array.from(
    { length: channels },
    () => new Float64Array(Math.ceil((pass.lengthS + 1) * rate)),
  );
  for (const turn of pass.outputs) {
    if (turn === undefined) continue;
    for (const [channel, gain] of place(turn.output)) {
      addReturn(out[channel], turn.table, rate, (turn.startS + 0.4) * rate, 30, gain);
    }
  }
  for (const [k, one] of out.entries()) addNoise(one, noise, k);
  const scope = { channels: channels > 2 ? "paths" : "sides" } as const;
  return findReturns(memoryReader(out, rate), () => {}, scope);
}

describe("returns of outputs", () => {
  it("name the output that each answers, 10 dB above the noise", () => {
    // Markers at −18 dBFS have an r.m.s. of −21 dB; white noise at −31 dB lies 10 dB below.
    const noise = 10 ** (-31 / 20);
    const found = record("turns", 5, 1, () => [[0, 1]], noise);
    expect(found.returns.map(({ output }) => output)).toEqual([1, 2, 3, 4, 5]);
  });

  it("keep to the channel that holds them, whatever leaks into its neighbours", slow, () => {
    const found = record("together", 6, 6, (output) => [
      [output - 1, 1],
      ...(output > 1 ? ([[output - 2, 0.01]] as const) : []),
      ...(output < 6 ? ([[output, 0.01]] as const) : []),
    ]);
    expect(found.returns.map(({ output, channel }) => [output, channel]).sort()).toEqual(
      [1, 2, 3, 4, 5, 6].map((output) => [output, output - 1]),
    );
    expect(found.mixed).toBeUndefined();
  });

  it("are absent where all that is left of an output is a trace in another's channel", () => {
    const found = record("together", 4, 4, (output) =>
      output === 2 ? [[2, 0.004]] : [[output - 1, 1]],
    );
    expect(found.returns.map(({ output }) => output).sort()).toEqual([1, 3, 4]);
  });

  it.each([
    ["together", 1],
    ["at-once", 1],
    ["at-once", 0.8],
  ] as const)("are left out where several play at once on one channel (%s, %d)", (form, fall) => {
    const found = record(form, 6, 1, (output) => [[0, 0.3 * fall ** output]]);
    expect(found.returns).toEqual([]);
    expect(found.mixed).toEqual([0]);
    expect(found.doubts.map(({ code }) => code)).toContain("outputs-mixed");
  });
});

import { describe, expect, it } from "vitest";
import type { SampleReader } from "../../../src/capture/containers/sample-reader.js";
import { findReturns } from "../../../src/capture/find/find-returns.js";
import { createRunningSearch } from "../../../src/capture/find/running-search.js";
import type { IncompleteReturn, SignalReturn } from "../../../src/capture/types.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn, memoryReader } from "../../helpers/captures.js";
import { gaussian } from "../../helpers/noise.js";
import { slow } from "../../helpers/slow.js";

const sampleRate = 44_100;
const table = buildSignalTable("quick", "base");
const lengthS = table.lengthS;

/** Three returns, the second cut off in its midst, as a recorder that was stopped leaves it. */
function makeTake(seed: number): Float64Array {
  const out = new Float64Array(Math.round((3 * lengthS + 8) * sampleRate));
  addReturn(out, table, sampleRate, 0.7 * sampleRate + 0.31, 12, 0.2);
  const second = Math.round((lengthS + 2.1) * sampleRate);
  addReturn(out, table, sampleRate, second, 12, 0.2);
  out.fill(
    0,
    second + Math.round(0.6 * lengthS * sampleRate),
    second + Math.round((lengthS + 1) * sampleRate),
  );
  addReturn(out, table, sampleRate, (2 * lengthS + 5.2) * sampleRate, 12, -0.05);
  addNoise(out, 1e-4, seed);
  return out;
}

function upTo(channels: readonly Float64Array[], frames: number): SampleReader {
  return memoryReader(
    channels.map((own) => own.subarray(0, frames)),
    sampleRate,
  );
}

describe("a search that keeps pace with a recorder", () => {
  const title = "finds what a search of the whole finds, whatever comes at a time (%i)";
  const keepsPace = (seed: number) => {
    const take = makeTake(seed);
    const next = gaussian(seed);
    const search = createRunningSearch("sides");
    const returns: SignalReturn[] = [];
    const cuts: IncompleteReturn[] = [];
    let frames = 0;
    while (frames < take.length) {
      // From a few samples to some seconds: recorders write as their buffers fill.
      frames = Math.min(take.length, frames + Math.ceil(10 ** (1 + 4 * (Math.abs(next()) % 1))));
      const ended = frames === take.length ? "ended" : "growing";
      const step = search.advance(upTo([take], frames), ended);
      returns.push(...step.returns);
      cuts.push(...step.cuts);
    }
    const whole = findReturns(upTo([take], take.length));
    expect(
      returns.map(({ profile, channel, inverted }) => ({ profile, channel, inverted })),
    ).toEqual(
      whole.returns.map(({ profile, channel, inverted }) => ({ profile, channel, inverted })),
    );
    expect(returns).toHaveLength(2);
    returns.forEach((one, k) => {
      expect(one.startSample).toBeCloseTo(whole.returns[k].startSample, 3);
      expect(one.driftPpm).toBeCloseTo(whole.returns[k].driftPpm, 2);
    });
    expect(cuts.map(({ missing }) => missing)).toEqual(["end"]);
    expect(Math.abs(cuts[0].startSample - whole.cuts[0].startSample)).toBeLessThan(3);
  };
  it.each([1, 3])(title, keepsPace);
  it.each([2])(title, slow, keepsPace);

  it("tells a return as soon as its last sample is there, and what plays before", () => {
    const take = makeTake(7);
    const search = createRunningSearch("sides");
    const endS = 0.7 + lengthS;
    const heardAt: number[] = [];
    const openAt: number[] = [];
    for (let s = 0.1; s < endS + 1; s += 0.1) {
      const step = search.advance(upTo([take], Math.round(s * sampleRate)));
      if (step.returns.length > 0) heardAt.push(s);
      if (step.open !== undefined) openAt.push(s);
    }
    expect(heardAt).toHaveLength(1);
    expect(heardAt[0] - endS).toBeLessThan(0.11);
    expect(openAt[0]).toBeLessThan(0.7 + 1.2);
    expect(openAt.at(-1)).toBeGreaterThan(endS - 0.3);
  });

  it("makes one return of the two sides of a stereo bus", () => {
    const left = makeTake(4);
    const right = makeTake(5);
    const search = createRunningSearch("sides");
    const returns: SignalReturn[] = [];
    for (let frames = 30_000; frames < left.length; frames += 30_000) {
      returns.push(...search.advance(upTo([left, right], frames)).returns);
    }
    expect(returns.map(({ channel, partner }) => [channel, partner?.channel])).toEqual([
      [0, 1],
      [0, 1],
    ]);
  });
});

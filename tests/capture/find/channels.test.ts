import { describe, expect, it } from "vitest";
import { findReturns } from "../../../src/capture/find/find-returns.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import { addNoise, addReturn, memoryReader } from "../../helpers/captures.js";

// Expected values: the gains put into the synthetic channels.

const rate = 48_000;
const quick = buildSignalTable("quick", "base");

function capture(gains: readonly number[]) {
  const channels = gains.map((gain, k) => {
    const samples = new Float64Array(7 * rate);
    if (gain !== 0) addReturn(samples, quick, rate, 0.4 * rate + 0.3, 0, gain);
    addNoise(samples, 1e-5, 40 + k);
    return samples;
  });
  return findReturns(memoryReader(channels, rate));
}

describe("a return on several channels at once", () => {
  it("is one return on the lower channel, with the other as partner, whichever is louder", () => {
    for (const gains of [
      [0.7, 0.5],
      [0.5, -0.7],
    ]) {
      const { returns, doubts } = capture(gains);
      expect(returns).toHaveLength(1);
      expect(returns[0]).toMatchObject({ channel: 0, partner: { channel: 1 } });
      expect(returns[0].partner?.gain).toBeCloseTo(Math.abs(gains[1]), 3);
      expect(returns[0]).not.toHaveProperty("undriven");
      expect(doubts).toEqual([]);
    }
  });

  it("has no partner in a channel more than 20 dB below, which counts as not driven", () => {
    const { returns } = capture([0.004, 0.7]);
    expect(returns).toHaveLength(1);
    expect(returns[0]).toMatchObject({ channel: 1, undriven: [0] });
    expect(returns[0]).not.toHaveProperty("partner");
  });

  it("names every channel in which nothing of it was found as not driven", () => {
    const { returns } = capture([0, 0.7, 0, 0.6]);
    expect(returns[0]).toMatchObject({ channel: 1, partner: { channel: 3 }, undriven: [0, 2] });
  });

  it("is measured on the loudest of more than two driven channels, with a doubt", () => {
    const { returns, doubts } = capture([0.5, 0.6, 0.7]);
    expect(returns).toHaveLength(1);
    expect(returns[0].channel).toBe(2);
    expect(returns[0]).not.toHaveProperty("partner");
    expect(doubts).toMatchObject([{ code: "more-than-two-channels" }]);
  });

  it("is as ever in a capture of one channel", () => {
    const { returns } = capture([0.7]);
    expect(returns[0]).not.toHaveProperty("partner");
    expect(returns[0]).not.toHaveProperty("undriven");
  });
});

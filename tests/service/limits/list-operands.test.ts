import { describe, expect, it } from "vitest";
import { listOperands } from "../../../src/service/limits/list-operands.js";
import type { Limit } from "../../../src/service/limits/types.js";
import { limit, path, reading, round } from "./rounds.js";

const one = round([path({ path: "1/mic", readings: { gain: reading(0) } })]);

describe("listOperands", () => {
  it("lists the figures that a limit names, however it is written", async () => {
    const a = limit("abs(gain - siblings (gain)) <= 1 dB");
    const b = limit("gain - baseline( gain) <= 1 dB");
    const c = limit("gain <= 1 dB");
    const found = await listOperands([a, b, c], one, one);
    const whose = (one: Limit) => found.get(one)?.map(({ whose, id }) => `${whose} ${id}`);
    expect(whose(a)).toStrictEqual(["own gain", "siblings gain"]);
    expect(whose(b)).toStrictEqual(["own gain", "baseline gain"]);
    expect(whose(c)).toStrictEqual(["own gain"]);
  });

  it("finds the curve of a band, and none in a reading whose name holds a curve's", async () => {
    const band = limit("abs(response(20 Hz, 20 kHz) - siblings(response(20 Hz, 20 kHz))) <= 1 dB");
    const reading = limit("noise <= -60 dBFS");
    const found = await listOperands([band, reading], one);
    const curves = (of: Limit) => found.get(of)?.flatMap(({ id, at }) => (at ? [id] : []));
    expect(curves(band)).toStrictEqual(["response", "response"]);
    expect(curves(reading)).toStrictEqual([]);
  });

  it("leaves out a built-in limit that a round has nothing for, and refuses one from the file", async () => {
    const own = limit("gain - baseline(gain) <= 1 dB", { from: "built-in" });
    expect((await listOperands([own], one)).size).toBe(0);
    await expect(listOperands([limit("nonsense <= 3 dB")], one)).rejects.toThrow();
  });
});

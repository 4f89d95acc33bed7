import { describe, expect, it } from "vitest";
import { listBuiltInLimits } from "../../../src/service/limits/built-in.js";
import { listTrendLimits } from "../../../src/service/limits/trend-limits.js";
import { limit, limits, path, reading, response, round } from "./rounds.js";

// Expected: medians of the figures below.

const stereo = (name: string, left: number, right: number) =>
  path({
    path: name,
    readings: { hiss: reading(left, "dBFS"), balance: reading(0) },
    partner: {
      side: "right",
      readings: { hiss: reading(right, "dBFS") },
      absent: {},
      curves: {},
    },
  });

describe("limits that a reading may come to", () => {
  const now = round(
    [1, 2, 3, 4, 5].map((k) => stereo(`${k}/line`, -80 - k, -70 - k)),
    "2031-03-14-01",
  );

  it("are those of each side of a stereo bus", async () => {
    const some = [
      limit("hiss <= siblings(hiss) + 6 dB", { name: "alike" }),
      limit("hiss <= baseline(hiss) + 3 dB", { name: "as-it-was" }),
      limit("hiss <= -60 dBFS", { name: "of-one", only: ["2/line"] }),
    ];
    const of = await listTrendLimits(now, now, some);
    const values = (name: string) => of(name, "hiss").map((one) => [one.name, one.value]);
    // The family's middle is strip 3: −83 and −73 dBFS.
    expect(values("2/line")).toStrictEqual([
      ["alike", -83 + 6],
      ["as-it-was", -82 + 3],
      ["of-one", -60],
    ]);
    expect(values("2/line, right side")).toStrictEqual([
      ["alike", -73 + 6],
      ["as-it-was", -72 + 3],
      ["of-one", -60],
    ]);
    expect(values("3/line, right side").map(([name]) => name)).toStrictEqual([
      "alike",
      "as-it-was",
    ]);
  });
});

const first = round([
  path({ path: "1/mic", readings: { thd: reading(-80), gain: reading(0) } }),
  path({ path: "2/mic", readings: { thd: reading(-78), gain: reading(0) } }),
  path({ path: "3/mic", readings: { thd: reading(-76), gain: reading(0) } }),
]);
const last = round(
  [
    path({
      path: "1/mic",
      readings: {
        thd: reading(-70),
        noise: reading(-90, "dBFS"),
        gain: reading(2),
        polarity: reading(1, ""),
      },
      curves: { response: response([0, 0, 0, 0, 0]) },
    }),
    path({ path: "2/mic", readings: { thd: reading(-68), gain: reading(0) } }),
    path({ path: "3/mic", readings: { thd: reading(-66), gain: reading(0) } }),
  ],
  "2035-03-14-01",
);

async function on(lines: string, name: string, id: string) {
  const read = await listTrendLimits(last, first, limits(lines, "named"));
  return read(name, id);
}

describe("what a reading may come to as the years pass", () => {
  it("is the bound of a limit that judges it alone, from above or below", async () => {
    expect(await on("  a: thd < -60 dB\n", "1/mic", "thd")).toStrictEqual([
      { name: "a", value: -60, side: "upper" },
    ]);
    expect(await on("  a: gain >= -1 dB\n", "1/mic", "gain")).toStrictEqual([
      { name: "a", value: -1, side: "lower" },
    ]);
  });

  it("is a number today where it is compared with siblings or the first round", async () => {
    // Middle of −70, −68, −66.
    expect(await on("  a: thd <= siblings(thd) + 6 dB\n", "1/mic", "thd")).toStrictEqual([
      { name: "a", value: -62, side: "upper" },
    ]);
    expect(await on("  a: thd <= baseline(thd) + 6 dB\n", "2/mic", "thd")).toStrictEqual([
      { name: "a", value: -72, side: "upper" },
    ]);
  });

  it("follows the gain that the path has today where it is compared with it", async () => {
    // −80 dB against the tone, which is 2 dB up.
    expect(await on("  a: noise - gain <= -80 dBFS\n", "1/mic", "noise")).toStrictEqual([
      { name: "a", value: -78, side: "upper" },
    ]);
  });

  it("is nothing of a limit that a figure either meets or does not", async () => {
    expect(await on("  a: polarity == 1\n", "1/mic", "polarity")).toStrictEqual([]);
  });

  it("is nothing of another reading's limit, of a curve, or of two readings together", async () => {
    expect(await on("  a: thd < -60 dB\n", "1/mic", "gain")).toStrictEqual([]);
    expect(await on("  a: response(100 Hz) > -3 dB\n", "1/mic", "response")).toStrictEqual([]);
    expect(await on("  a: gain - thd < 90 dB\n", "1/mic", "thd")).toStrictEqual([]);
  });

  it("is nothing where what it is compared with was not measured", async () => {
    expect(await on("  a: noise <= baseline(noise) + 6 dB\n", "1/mic", "noise")).toStrictEqual([]);
  });

  it("is nothing on a path that the limit is not for, or that the round does not have", async () => {
    const lines = "  a: { limit: thd < -60 dB, for: 2/mic }\n";
    expect(await on(lines, "1/mic", "thd")).toStrictEqual([]);
    expect(await on(lines, "2/mic", "thd")).toHaveLength(1);
    expect(await on("  a: thd < -60 dB\n", "9/mic", "thd")).toStrictEqual([]);
  });

  it("is the end of the band for a corner, where the limits hold the band", async () => {
    const read = await listTrendLimits(last, first, listBuiltInLimits("none"));
    expect(read("1/mic", "cornerLow")).toStrictEqual([{ name: "band", value: 20, side: "upper" }]);
    expect(read("9/mic", "cornerHigh")).toStrictEqual([
      { name: "band", value: 20_000, side: "lower" },
    ]);
    const none = await listTrendLimits(last, first, limits("  a: thd < -60 dB\n"));
    expect(none("1/mic", "cornerLow")).toStrictEqual([]);
  });

  it("is no end of the band where the user's own limit of that name has another, or none has it", async () => {
    const ends = async (lines: string) =>
      (await listTrendLimits(last, first, limits(lines)))("1/mic", "cornerLow").length;
    expect(await ends("  band: response(20 Hz, 20 kHz) >= -3 dB\n")).toBe(1);
    expect(await ends("  band: response(100 Hz, 20 kHz) >= -3 dB\n")).toBe(0);
    expect(await ends("  wide: response(20 Hz, 20 kHz) >= -3 dB\n")).toBe(0);
    expect(
      await ends(
        "  band: response(100 Hz, 20 kHz) >= -3 dB\n  wide: response(20 Hz, 20 kHz) >= -3 dB\n",
      ),
    ).toBe(0);
  });

  it("is both ends of a limit of two sides, and nothing of what is not the reading itself", async () => {
    expect(await on("  a: -3 dB <= gain <= 2 dB\n", "1/mic", "gain")).toStrictEqual([
      { name: "a", value: -3, side: "lower" },
      { name: "a", value: 2, side: "upper" },
    ]);
    expect(await on("  a: abs(gain) <= 3 dB\n", "1/mic", "gain")).toStrictEqual([]);
    expect(await on("  a: noise + gain <= -80 dBFS\n", "1/mic", "noise")).toStrictEqual([]);
    expect(await on("  a: noise - gain <= -80 dBFS\n", "1/mic", "gain")).toStrictEqual([]);
    // Path 2 has no noise to come to anything.
    expect(await on("  a: noise <= -80 dBFS\n", "2/mic", "noise")).toStrictEqual([]);
  });

  it("refuses a limit of the user's that is wrong, and leaves out one that is built in", async () => {
    const wrong = limit("warmth <= 3 dB");
    await expect(listTrendLimits(last, first, [wrong])).rejects.toThrow(/"warmth"/);
    const read = await listTrendLimits(last, first, [
      { ...wrong, from: "built-in" },
      limit("thd < -60 dB"),
    ]);
    expect(read("1/mic", "thd")).toHaveLength(1);
  });
});

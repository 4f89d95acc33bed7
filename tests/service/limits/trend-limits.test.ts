import { describe, expect, it } from "vitest";
import { listTrendLimits } from "../../../src/service/limits/trend-limits.js";
import { limit, path, reading, round } from "./rounds.js";

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
    const limits = [
      limit("hiss <= siblings(hiss) + 6 dB", { name: "alike" }),
      limit("hiss <= baseline(hiss) + 3 dB", { name: "as-it-was" }),
      limit("hiss <= -60 dBFS", { name: "of-one", only: ["2/line"] }),
    ];
    const of = await listTrendLimits(now, now, limits);
    const values = (name: string) => of(name, "hiss").map((one) => [one.name, one.value]);
    // The family's middle is strip 3: −83 and −73 dBFS.
    expect(values("2/line")).toEqual([
      ["alike", -83 + 6],
      ["as-it-was", -82 + 3],
      ["of-one", -60],
    ]);
    expect(values("2/line, right side")).toEqual([
      ["alike", -73 + 6],
      ["as-it-was", -72 + 3],
      ["of-one", -60],
    ]);
    expect(values("3/line, right side").map(([name]) => name)).toEqual(["alike", "as-it-was"]);
  });
});

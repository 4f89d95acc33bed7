import { describe, expect, it } from "vitest";
import { rankAndDiagnose } from "../../src/analysis/judge/rank-and-diagnose.js";
import { buildDefaultFlow } from "../../src/desk/flow.js";
import type { Measurement } from "../../src/measure/types.js";
import type { PathToRank } from "../../src/rank/family-stats.js";
import { measurement, reading, response } from "../helpers/families.js";
import { slow } from "../helpers/slow.js";

// Expected behaviour at the edges, as docs/readings.md and docs/diagnosis.md tell it.

const flat = { response: response((hz) => -10 * Math.log10(1 + (3 / hz) ** 2)) };
const readings = {
  gain: reading(0),
  hiss: reading(-105, "dBFS", 0.1),
  noise: reading(-104, "dBFS", 0.1),
  thd: reading(-90),
  polarity: reading(1, "", 0),
};
const healthy = measurement(readings, flat);
const noisy = measurement({ ...readings, hiss: reading(-80, "dBFS", 0.1) }, flat);

/** A desk of one family of line inputs, judged. */
function judged(paths: readonly (Measurement | "silent" | "missing")[]) {
  const named = paths.map((_, i) => ({
    path: `${i + 1}/line`,
    strip: String(i + 1),
    input: "line",
    family: "line",
  }));
  const desk = {
    inputs: [{ name: "line", nominalDbu: 4, setup: "" }],
    paths: named,
    flow: buildDefaultFlow(["line"]),
  };
  const inputs: PathToRank[] = named.map(({ path, family }, i) => {
    const one = paths[i];
    if (one === "silent") return { path, family, unheard: { code: "digital-silence" } };
    return one === "missing" ? { path, family } : { path, family, measurement: one };
  });
  return rankAndDiagnose(desk, inputs);
}

describe("judging a round", () => {
  it("finds nothing where every path of a family is identical", () => {
    const { paths, remarks } = judged(Array.from({ length: 8 }, () => healthy));
    expect(paths.flatMap(({ findings, causes }) => [...findings, ...causes])).toStrictEqual([]);
    expect(paths.map(({ oddness }) => oddness)).toStrictEqual(Array(8).fill(0));
    expect(remarks).toStrictEqual([]);
  });

  it("judges a reading that half of the paths lack among the half that has it", () => {
    const { hiss: _, ...without } = readings;
    const half = Array.from({ length: 6 }, () => measurement(without, flat));
    const other = Array.from({ length: 5 }, () => healthy);
    const { paths } = judged([...half, noisy, ...other]);
    expect(
      paths.filter(({ findings }) => findings.length > 0).map(({ path }) => path),
    ).toStrictEqual(["7/line"]);
    expect(paths[6].causes[0].cause).toBe("noisy-device");
  });

  it("leaves a family of one to limits and baseline: no finding, no cause, no oddness", () => {
    const { paths } = judged([noisy]);
    expect(paths[0]).toMatchObject({ findings: [], causes: [], oddness: 0, rank: 1 });
  });

  it("says of a desk on which all is silent that all share it", () => {
    const { paths, remarks } = judged(Array.from({ length: 6 }, () => "silent" as const));
    expect(paths.map(({ causes }) => causes[0].cause)).toStrictEqual(Array(6).fill("no-signal"));
    expect(remarks).toStrictEqual([
      { code: "cause-on-nearly-all", cause: "no-signal", count: 6, of: 6 },
    ]);
  });

  it("judges three recorded paths of many by one another, and leaves the others alone", () => {
    const missing = Array.from({ length: 20 }, () => "missing" as const);
    const { paths } = judged([healthy, noisy, healthy, ...missing]);
    expect(paths[1].findings[0]).toMatchObject({ reading: "hiss" });
    expect(paths[1].findings[0].severity).not.toBe("remark");
    expect(paths.filter(({ rank }) => rank !== undefined)).toHaveLength(3);
    expect(paths.slice(3).flatMap(({ findings }) => findings)).toStrictEqual([]);
  });

  it("finds nothing where all paths agree to the printed digit", () => {
    const near = Array.from({ length: 8 }, (_, k) =>
      measurement({ ...readings, gain: reading(0.001 * k), hiss: reading(-105 + 0.004 * k) }, flat),
    );
    expect(judged(near).paths.flatMap(({ findings }) => findings)).toStrictEqual([]);
  });

  it.each([4, 10, 96])("finds the noisy two fifths of a family of %i, and nobody else", (count) => {
    const ill = Math.floor(0.4 * count);
    const scatter = (k: number) => 0.1 * ((k * 7) % 5);
    // each has a fault of its own, of a size of its own: nothing that they could share
    const own = (k: number) => 14 + 5 * ((k * 5) % 7);
    const paths = Array.from({ length: count }, (_, k) => {
      const hiss = (k < ill ? own(k) : 0) - 105 + scatter(k);
      return measurement({ ...readings, hiss: reading(hiss, "dBFS", 0.1) }, flat);
    });
    const flagged = judged(paths).paths.flatMap(({ path, findings }) =>
      findings.some(({ severity }) => severity !== "remark") ? [path] : [],
    );
    expect(flagged).toStrictEqual(Array.from({ length: ill }, (_, k) => `${k + 1}/line`));
  });

  it("tells four dried capacitors of ten as such, and no healthy one as an equaliser", slow, () => {
    const dried = (corner: number) =>
      measurement(
        // the drier, the more of the tone stands across it
        { ...readings, thd100: reading(corner - 120) },
        { response: response((hz) => -10 * Math.log10(1 + (corner / hz) ** 2)) },
      );
    const sound = Array.from({ length: 6 }, () =>
      measurement({ ...readings, thd100: reading(-90) }, flat),
    );
    const { paths } = judged([dried(40), dried(60), dried(50), dried(80), ...sound]);
    expect(paths.slice(0, 4).map(({ causes }) => causes[0]?.cause)).toStrictEqual(
      Array(4).fill(expect.stringMatching(/^dried-/)),
    );
    expect(paths.slice(4).flatMap(({ causes }) => causes)).toStrictEqual([]);
  });

  it("names the likelier faulty one of two, and what may be wrong with it", () => {
    const { paths } = judged([healthy, noisy]);
    expect(paths[1].findings[0]).toMatchObject({ reading: "hiss", severity: "watch" });
    expect(paths[1].causes[0].cause).toBe("noisy-device");
    expect(paths[0].causes).toStrictEqual([]);
  });
});

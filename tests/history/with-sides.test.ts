import { describe, expect, it } from "vitest";
import { listOtherSides, listSecondSides, withSides } from "../../src/history/with-sides.js";
import { path, reading, round } from "../service/limits/rounds.js";

const partner = {
  side: "right" as const,
  readings: { hiss: reading(-70, "dBFS") },
  absent: {},
  curves: {},
};
const finding = {
  reading: "hiss",
  against: "siblings" as const,
  value: -70,
  expected: -80,
  deviation: 10,
  unit: "dBFS",
  score: 12,
  severity: "service" as const,
  words: "hiss 10 dB above its siblings (right side)",
  side: "right" as const,
};
const cause = {
  cause: "noisy-device",
  name: "noisy input device or op amp",
  kind: "fault" as const,
  evidence: [],
  confirmBy: "swap it",
};

describe("withSides", () => {
  it("makes each side a path with its own readings, findings and causes", () => {
    const one = path({
      path: "3/line",
      readings: { hiss: reading(-80, "dBFS") },
      partner,
      findings: [finding],
      causes: [cause],
    });
    const [first, second] = withSides(round([one])).paths;
    expect(first).toMatchObject({ path: "3/line", family: "line", findings: [], causes: [] });
    expect(first.readings.hiss.value).toBe(-80);
    expect(second).toMatchObject({
      path: "3/line, right side",
      family: "line (right side)",
      strip: "3",
      findings: [finding],
      causes: [cause],
    });
    expect(second.readings.hiss.value).toBe(-70);
  });

  it("leaves a mono round as it is", () => {
    const mono = round([path({ path: "3/line" })]);
    expect(withSides(mono)).toBe(mono);
  });

  it("takes a side without the tone for one that gave nothing back", () => {
    const balance = { ...reading(60), bound: "lower" as const, limitedBy: "noise" as const };
    const one = path({ path: "3/line", readings: { balance }, partner });
    expect(withSides(round([one])).paths[1]).toMatchObject({
      status: "unusable",
      because: { code: "side-silent", side: "right" },
    });
  });

  it("puts a shared fault of one side on that side's paths", () => {
    const paths = [path({ path: "3/line", partner }), path({ path: "4/line", partner })];
    const fault = {
      part: { kind: "master" as const, side: "right" as const },
      paths: ["3/line", "4/line"],
      findings: [],
      aspect: "noise" as const,
      against: "other-side" as const,
      severity: "service" as const,
    };
    const { shared } = withSides({ ...round(paths), shared: [fault] });
    expect(shared?.[0].paths).toEqual(["3/line, right side", "4/line, right side"]);
  });
});

describe("the sides of a path", () => {
  const left = { ...partner, side: "left" as const };
  const of = (parts: object) =>
    path({ path: "3/line", readings: { hiss: reading(-80, "dBFS") }, ...parts });
  const { side: _, ...ofBoth } = finding;
  const names = (findings: readonly object[], more: object = {}) =>
    withSides(round([of({ partner, findings, causes: [cause], ...more })])).paths.map((one) => [
      one.findings.length,
      one.causes.length,
    ]);

  it("have each what stands out on it, and the causes of what more than a remark says", () => {
    expect(names([finding])).toEqual([
      [0, 0],
      [1, 1],
    ]);
    expect(names([ofBoth])).toEqual([
      [1, 1],
      [0, 0],
    ]);
    expect(names([ofBoth, finding])).toEqual([
      [1, 0],
      [1, 1],
    ]);
    const remark = { ...finding, severity: "remark" as const };
    expect(names([ofBoth, remark])).toEqual([
      [1, 1],
      [1, 0],
    ]);
    expect(names([{ ...finding, side: "left" }])).toEqual([
      [1, 1],
      [0, 0],
    ]);
  });

  it("are named after the second side of most paths, in whatever order both were measured", () => {
    const paths = [
      path({ path: "1/line", partner }),
      path({ path: "2/line", partner }),
      of({ partner: left, findings: [{ ...finding, side: "left" }], causes: [cause] }),
      path({ path: "4/line" }),
    ];
    expect([...listSecondSides({ paths })]).toEqual(
      ["1", "2", "3"].map((strip) => [`${strip}/line`, `${strip}/line, right side`]),
    );
    const sided = withSides(round(paths)).paths;
    expect(sided.map((one) => one.path)).toEqual([
      "1/line",
      "1/line, right side",
      "2/line",
      "2/line, right side",
      "3/line",
      "3/line, right side",
      "4/line",
    ]);
    // On strip 3 the right side was measured first: what stands out on the left is that of the path.
    const [, , , , first, second] = sided;
    expect([first.readings.hiss.value, second.readings.hiss.value]).toEqual([-70, -80]);
    expect([first.findings.length, second.findings.length]).toEqual([1, 0]);
    expect([first.causes.length, second.causes.length]).toEqual([1, 0]);
    expect(listOtherSides(round(paths)).map((one) => one.path)).toEqual([
      "1/line, right side",
      "2/line, right side",
      "3/line",
      "3/line, right side",
    ]);
    expect(listOtherSides(round([path({ path: "4/line" })]))).toEqual([]);
    expect(listSecondSides({ paths: [path({ path: "4/line" })] }).size).toBe(0);
  });

  it("have no rank of their own, but the first as it was measured", () => {
    const [first, second] = withSides(round([of({ partner, rank: 2 })])).paths;
    expect(first).toMatchObject({ rank: 2 });
    expect(second).not.toHaveProperty("rank");
  });

  it("share a fault by the side that it is of", () => {
    const paths = [path({ path: "1/line", partner }), path({ path: "2/line" })];
    const fault = (side?: "left" | "right") => ({
      part: { kind: "master" as const, ...(side && { side }) },
      paths: ["1/line", "2/line"],
      findings: [],
      aspect: "noise" as const,
      against: "siblings" as const,
      severity: "service" as const,
    });
    const sharing = (side?: "left" | "right") =>
      withSides({ ...round(paths), shared: [fault(side)] } as never).shared?.[0].paths;
    expect(sharing()).toEqual(["1/line", "2/line", "1/line, right side"]);
    expect(sharing("right")).toEqual(["1/line, right side"]);
    expect(sharing("left")).toEqual(["1/line", "2/line"]);
  });
});

import { describe, expect, it } from "vitest";
import { withSides } from "../../src/history/with-sides.js";
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

import { describe, expect, it } from "vitest";
import { rankPaths } from "../../src/rank/rank.js";
import { family, measurement, reading } from "../helpers/families.js";

// Expected: a bound is a limit that the truth keeps, so what stands above every sibling's bound
// differs by at least the distance to the highest of them, and nothing follows from one bound
// among others.

const hidden = (db: number) => ({
  ...reading(db, "dBFS", 6),
  limitedBy: "noise" as const,
  bound: "upper" as const,
});
const siblings = [-118, -116, -119, -121, -117, -115, -120, -118].map((db) =>
  measurement({ hum: hidden(db) }),
);
const findingsOf = (hum: ReturnType<typeof reading>, others = siblings) =>
  rankPaths(family([measurement({ hum }), ...others]))[0].findings;

describe("hum among siblings that hide theirs", () => {
  it("stands out by at least its distance to the highest bound", () => {
    const [finding] = findingsOf(reading(-97, "dBFS", 1));
    expect(finding.deviation).toBeCloseTo(-97 + 115, 9);
    expect(finding.words).toBe("hum at least 18 dB above its siblings");
    expect(finding.severity).toBe("service");
  });

  it("says nothing beneath that bound, or where it is itself hidden", () => {
    expect(findingsOf(reading(-116, "dBFS", 1))).toEqual([]);
    expect(findingsOf(hidden(-97))).toEqual([]);
  });

  it("is no fault where it is one of several that show theirs", () => {
    // Half of them stand beside the transformer: their own scatter counts.
    const shown = [-99, -102, -105, -110].map((db) => measurement({ hum: reading(db, "dBFS", 1) }));
    const crowd = findingsOf(reading(-97, "dBFS", 1), [...siblings.slice(0, 5), ...shown]);
    expect(crowd.filter(({ severity }) => severity !== "remark")).toEqual([]);
  });
});

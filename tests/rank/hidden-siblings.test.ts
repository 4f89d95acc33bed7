import { describe, expect, it } from "vitest";
import { rankPaths } from "../../src/rank/rank.js";
import { formatFinding } from "../../src/report/findings/format-finding.js";
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
    expect(formatFinding(finding)).toBe("hum at least 18 dB above its siblings");
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

describe("hum that fades along the desk", () => {
  // A field falls off with the distance; the strip beside the supply is as loud as its neighbours
  // lead to. Expected: nothing on the row itself, and the one strip that is louder than its place.
  const row = [-122, -121, -121, -120, -119, -117, -115, -112, -109, -105, -100, -95];
  const judged = (db: readonly number[]) =>
    rankPaths(family(db.map((one) => measurement({ hum: reading(one, "dBFS", 1) }))));
  const flagged = (db: readonly number[]) =>
    judged(db)
      .filter(({ findings }) => findings.some(({ severity }) => severity !== "remark"))
      .map(({ path }) => path);

  it("is no fault of those that stand beside the supply", () => {
    expect(flagged(row)).toEqual([]);
    expect(flagged([...row].reverse())).toEqual([]);
  });

  it("goes on past a strip that is dead, through which nothing of it comes", () => {
    const dead = rankPaths(
      family(
        row.map((db, i) =>
          measurement({
            gain: reading(i === 10 ? -60 : 0, "dB", 0.02),
            hum: reading(i === 10 ? -130 : db, "dBFS", 1),
          }),
        ),
      ),
    );
    const loud = dead.filter(({ findings }) => findings.some(({ reading: id }) => id === "hum"));
    expect(
      loud.flatMap(({ path, findings }) => (findings.some((f) => f.score > 0) ? [path] : [])),
    ).toEqual([]);
  });

  it("hides no strip that is louder than its place", () => {
    const louder = judged(row.map((db, i) => (i === 2 ? -85 : db)));
    const spoken = louder.filter(({ findings }) => findings.length > 0);
    expect(spoken.map(({ path }) => path)).toEqual(["3/mic"]);
  });
});

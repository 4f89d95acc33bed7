import { describe, expect, it } from "vitest";
import { findReadingKind } from "../../src/measure/reading-kinds.js";
import { computeFamilyStats } from "../../src/rank/family-stats.js";
import { computeDeviation, rankPaths } from "../../src/rank/rank.js";
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
    expect(findingsOf(reading(-116, "dBFS", 1))).toStrictEqual([]);
    expect(findingsOf(hidden(-97))).toStrictEqual([]);
  });

  it("stands out beside a dead path, whose bound is as high as its loss", () => {
    const dead = measurement({ hum: hidden(-40) });
    const [finding] = findingsOf(reading(-97, "dBFS", 1), [...siblings, dead]);
    expect(finding.deviation).toBeCloseTo(-97 + 115, 9);
  });

  it("is not a fault where it is one of several that show theirs", () => {
    // Half of them stand beside the transformer: their own scatter counts.
    const shown = [-99, -102, -105, -110].map((db) => measurement({ hum: reading(db, "dBFS", 1) }));
    const crowd = findingsOf(reading(-97, "dBFS", 1), [...siblings.slice(0, 5), ...shown]);
    expect(crowd.filter(({ severity }) => severity !== "remark")).toStrictEqual([]);
  });
});

describe("even lines of the mains beneath the siblings' odd ones", () => {
  // A supply's ripple at −96 dBFS lifts a sum of −108 ± 4 dB by 12 dB only, three scatters; the even
  // lines by themselves stand 24 dB above every sibling's bound.
  const strip = (odd: number, even: ReturnType<typeof reading>) =>
    measurement({
      hum: reading(10 * Math.log10(10 ** (odd / 10) + 10 ** (even.value / 10)), "dBFS", 1),
      humOdd: reading(odd, "dBFS", 1),
      humEven: even,
    });
  const odds = [-108, -103, -112, -109, -105, -113, -107, -104];
  const sound = odds.map((odd) => strip(odd, hidden(-120)));
  const found = (odd: number, even: ReturnType<typeof reading>) =>
    rankPaths(family([strip(odd, even), ...sound]))[0].findings;

  it("are said where the sum does not say it", () => {
    const ripple = found(-108, reading(-96, "dBFS", 1));
    expect(ripple[0]).toMatchObject({ reading: "humEven", severity: "service" });
    expect(ripple[0].deviation).toBeCloseTo(24, 9);
  });

  it("are not said twice, nor for a cable's odd lines", () => {
    const loud = found(-108, reading(-20, "dBFS", 1));
    expect(loud.map((one) => one.reading)).toStrictEqual(["hum"]);
    const field = found(-75, hidden(-120));
    expect(field.map((one) => one.reading)).toStrictEqual(["hum"]);
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

  it("is not a fault of those that stand beside the supply", () => {
    expect(flagged(row)).toStrictEqual([]);
    expect(flagged([...row].reverse())).toStrictEqual([]);
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
    ).toStrictEqual([]);
  });

  it("hides no strip that is louder than its place", () => {
    const louder = judged(row.map((db, i) => (i === 2 ? -85 : db)));
    const spoken = louder.filter(({ findings }) => findings.length > 0);
    expect(spoken.map(({ path }) => path)).toStrictEqual(["3/mic"]);
  });
});

describe("hum that is left in the A-weighted noise", () => {
  // Siblings whose hum differs by cables and place, 8 dB and more, and whose hiss is alike. Expected: the
  // weighted noise of the loudest, hiss −117 dB and what the weighting leaves of hum added as power, is no
  // fault where it is up by less than 10 dB, by which sound is twice as loud (Stevens 1955), unless the hum
  // itself stands out: sound siblings' hum differs by as much.
  const hums = [-119, -116, -118, -120, -114, -117, -112, -115];
  const power = (...db: readonly number[]) =>
    10 * Math.log10(db.reduce((sum, one) => sum + 10 ** (one / 10), 0));
  const of = (hum: number, hiss = -117) =>
    measurement({
      hum: reading(hum, "dBFS", 0.1),
      hiss: reading(hiss, "dBFS", 0.05),
      noise: reading(power(hum, hiss + 2), "dBFS", 0.05),
      noiseA: reading(power(hum - 12, hiss), "dBFS", 0.05),
    });
  const spoken = (odd: ReturnType<typeof of>) =>
    rankPaths(
      family([
        ...hums.slice(0, 4).map((hum) => of(hum)),
        odd,
        ...hums.slice(4).map((hum) => of(hum)),
      ]),
    )[4]
      .findings.filter(({ severity }) => severity !== "remark")
      .map(({ reading: id }) => id);

  it("matters from twice as loud on", () => {
    // −110 and −117 dB as powers: −109.2, 7.5 dB above the middle of the siblings, −116.7.
    expect(spoken(of(-98))).not.toContain("noiseA");
    // −106 and −117 dB: −105.7, 11 dB above it.
    expect(spoken(of(-94))).toContain("noiseA");
  });

  it("is a fault where the hum itself is, and where it is the hiss that is up", () => {
    expect(spoken(of(-75))).toContain("hum");
    expect(spoken(of(-103.5, -112))).toContain("noiseA");
  });
});

it("a bound from below among others is no difference from them", () => {
  // All are at least what is written; how much more nobody knows.
  const least = (value: number) => ({ ...reading(value, "dB", 6), bound: "lower" as const });
  const kind = findReadingKind("headroom");
  if (kind === undefined) throw new Error("headroom");
  const usual = computeFamilyStats(
    [50, 51, 52, 50.5, 51.5].map((value, k) => ({
      path: `${k + 1}/mic`,
      measurement: measurement({ headroom: least(value) }),
    })),
  );
  expect(computeDeviation(kind, least(80), usual)).toBeUndefined();
  expect(computeDeviation(kind, least(20), usual)).toBeUndefined();
  expect(computeDeviation(kind, reading(20), usual)?.deviation).toBe(-31);
});

it("hum that two of four paths show has no usual, and accuses none of them", () => {
  // Three siblings outvote one another, two do not.
  const gain = reading(0);
  const shown = (db: number) => measurement({ gain, hum: reading(db, "dBFS", 1) });
  const silent = measurement({ gain });
  const ranked = rankPaths(family([shown(-60), silent, silent, shown(-100)]));
  expect(ranked.flatMap(({ findings }) => findings)).toStrictEqual([]);
});

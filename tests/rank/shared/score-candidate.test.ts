import { describe, expect, it } from "vitest";
import { type Candidate, computePartPrior } from "../../../src/rank/shared/list-candidates.js";
import type { Row } from "../../../src/rank/shared/rows.js";
import {
  type RowValues,
  readRows,
  type Score,
  scoreCandidate,
} from "../../../src/rank/shared/score-candidate.js";
import type { PlacedInput, SharedAspect, SharedPart } from "../../../src/rank/shared/types.js";
import { type Change, drawDesk, stripNames } from "../../helpers/shared-desk.js";

const count = 12;

function score(
  part: SharedPart,
  strips: readonly number[],
  change: Change,
  inputs: readonly string[] = ["line"],
) {
  const paths = drawDesk(3, count, inputs, change);
  const members = new Set(
    paths.flatMap(({ path, strip }) => (strips.includes(Number(strip)) ? [path] : [])),
  );
  const candidate: Candidate = { part, members, logPrior: 0 };
  return scoreCandidate(candidate, readRows(paths, stripNames(count)));
}

/** Changes these strips and leaves the others. */
const on =
  (strips: readonly number[], change: Readonly<Record<string, number>>): Change =>
  ({ strip }) =>
    strips.includes(Number(strip)) ? change : {};

const quiet = { gain: -6, level: -6 };

describe("strips that nobody named as sharing anything", () => {
  const bank: SharedPart = { kind: "bank" };

  it("share what three of them show, and two have each on its own", () => {
    const three = [5, 6, 7];
    expect(score(bank, three, on(three, quiet)).aspects).toStrictEqual(["level"]);
    const two = [5, 6];
    expect(score(bank, two, on(two, quiet)).aspects).toStrictEqual([]);
  });

  it("are believed from two on where the desk file names them, or a part that they share", () => {
    const two = [5, 6];
    for (const part of [{ ...bank, name: "A" }, { kind: "ribbon" }] as const) {
      expect(score(part, two, on(two, quiet)).aspects).toStrictEqual(["level"]);
    }
  });
});

describe("odd lines of the mains", () => {
  const ribbon: SharedPart = { kind: "ribbon", name: "A" };
  const hum = (change: Change, strips: readonly number[]) => score(ribbon, strips, change).aspects;

  it("are a part's where they step by 8 dB between neighbours, and a field's where they do not", () => {
    const half = [1, 2, 3, 4, 5, 6];
    expect(hum(on(half, { humOdd: 20 }), half)).toStrictEqual(["hum-odd"]);
    // 2.5 dB a strip, over all of the desk: 15 dB between the middles, and no step.
    expect(hum(({ strip }) => ({ humOdd: 2.5 * (count - Number(strip)) }), half)).toStrictEqual([]);
  });

  it("are a part's where its strips have no neighbour that lacks it", () => {
    // Strips 5 to 8 were not recorded: none outside is within two places of those inside.
    const half = [1, 2, 3, 4];
    const paths = drawDesk(3, count, ["line"], on(half, { humOdd: 20 })).filter(
      ({ strip }) => Number(strip) < 5 || Number(strip) > 8,
    );
    const members = new Set(paths.slice(0, 4).map(({ path }) => path));
    const rows = readRows(paths, stripNames(count));
    expect(scoreCandidate({ part: ribbon, members, logPrior: 0 }, rows).aspects).toStrictEqual([
      "hum-odd",
    ]);
  });
});

describe("a level that was touched", () => {
  const later = [7, 8, 9, 10, 11, 12];
  const touched: SharedPart = { kind: "level" };
  /** A part of no kind that is readier for one aspect than for another. */
  const other: SharedPart = { kind: "bank", name: "A" };
  const odds = (part: SharedPart, change: Readonly<Record<string, number>>) =>
    score(part, later, on(later, change)).logOdds;

  it("explains nothing where the level is as before", () => {
    const bent = { thd: 18, thdHot: 18 };
    // what all strips together may say at most is taken off
    expect(odds(touched, bent) - odds(other, bent)).toBeCloseTo(-12, 9);
  });

  it("explains no distortion beside the level", () => {
    const both = { ...quiet, thd: 30, thdHot: 30 };
    expect(odds(touched, both) - odds(other, both)).toBeCloseTo(-12, 9);
  });

  it("explains a loss as well as a part does that is as ready for it", () => {
    expect(odds(touched, quiet) - odds(other, quiet)).toBeCloseTo(0, 9);
  });

  it("explains a loss that noise and hum went along with", () => {
    const all = { ...quiet, hiss: -6, noise: -6, humOdd: -6, humEven: -6 };
    expect(odds(touched, all)).toBeGreaterThan(odds(touched, quiet));
    expect(score(touched, later, on(later, all)).aspects[0]).toBe("level");
  });

  it("explains no hum that rose by far more than the level", () => {
    const up = { gain: 6, level: 6 };
    const with20 = { ...up, humOdd: 20 };
    // two nats off, as the one row has it
    expect(odds(touched, with20) - odds(other, with20)).toBeCloseTo(-2, 9);
    expect(odds(touched, up) - odds(other, up)).toBeCloseTo(0, 9);
  });
});

it("a part behind the place where inputs join is unlikely where it adds more to one of them", () => {
  const half = [1, 2, 3, 4, 5, 6];
  // A mic input hisses 6 dB more by itself: what is added makes the same level on both.
  const added = (more: number) => ({
    mic: { noise: 20 + more, hiss: 14 + more },
    line: { noise: 20, hiss: 20 },
  });
  const odds = (kind: "group" | "supply", more: number) =>
    score(
      { kind, name: "A" },
      half,
      ({ strip, input }): Readonly<Record<string, number>> =>
        half.includes(Number(strip)) ? added(more)[input as "mic" | "line"] : {},
      ["mic", "line"],
    ).logOdds;
  const against = (more: number) => odds("group", more) - odds("supply", more);
  expect(against(10)).toBeCloseTo(against(0) - 5, 9);
});

it("a row counts only where two paths are on either side", () => {
  const inside = (strips: readonly number[]) =>
    score({ kind: "ribbon", name: "A" }, strips, on(strips, quiet)).moved.length;
  expect(inside([4])).toBe(0);
  expect(inside([4, 5])).toBeGreaterThan(0);
  const paths: readonly PlacedInput[] = drawDesk(1, 3, ["line"]);
  expect(readRows(paths, stripNames(3))).toStrictEqual([]);
});

describe("scored by hand", () => {
  // Figures that agree on either side, so that every term is a closed form. Of n paths the scatter about both
  // medians is then 0; with one of 1 known beforehand, worth five degrees of freedom, s = √(5/(5 + n − 2)).
  // A path costs t standard deviations min(6, 2.5·ln(1 + t²/4)): Student's density with ν = 4, cut off.
  const price = (t: number) => Math.min(6, 2.5 * Math.log(1 + (t * t) / 4));
  const spread = (paths: number) => Math.sqrt(5 / (3 + paths));
  const times = <T>(count: number, one: T): T[] => Array<T>(count).fill(one);

  const row = (aspect: SharedAspect, more: Partial<Row> = {}): Row => ({
    reading: aspect,
    unit: "dB",
    aspect,
    harm: "both",
    scatter: 1,
    least: 1,
    read: () => undefined,
    isBound: () => false,
    ...more,
  });

  /** Strips from 1 on: first those inside the set, then those outside. */
  function values(
    of: Row,
    inside: readonly number[],
    outside: readonly number[],
    { family = "line", bounds = 0 } = {},
  ): RowValues {
    const paths = [...inside, ...outside].map((value, place) => ({
      path: `${place < inside.length ? "in" : "out"} ${place + 1}/${family}`,
      strip: `${place + 1}`,
      place,
      value,
      isBound: place < bounds,
    }));
    return { row: of, family, paths };
  }

  const named: SharedPart = { kind: "bank", name: "A" };
  const logPrior = -1;

  function score(
    own: readonly RowValues[],
    part: SharedPart = named,
    more: { isThrough?: true } = {},
  ): Score {
    const all = own.flatMap(({ paths }) => paths.map(({ path }) => path));
    const members = new Set(all.filter((path) => path.startsWith("in")));
    return scoreCandidate({ part, members, logPrior, ...more }, own);
  }
  const aspectsOf = (own: readonly RowValues[], part = named) => score(own, part).aspects;

  // What turns a polarity scatters by nothing from path to path.
  const turned = row("polarity");

  describe("the odds of a shared part", () => {
    it.each([
      [4, 8, 4],
      [8, 4, 4],
      [3, 9, 3],
      [6, 6, 6],
      [2, 2, 2],
    ])("of %i paths inside and %i outside count those of the fewer", (inside, outside, fewer) => {
      const { logOdds, logOddsApart, moved } = score([
        values(turned, times(inside, 2), times(outside, 0)),
      ]);
      const nats = fewer * price(2 / spread(inside + outside));
      // less three nats for the aspect
      expect(logOdds).toBeCloseTo(logPrior - 3 + nats, 9);
      expect(logOddsApart).toBe(logOdds);
      expect(moved).toHaveLength(1);
      expect(moved[0]).toMatchObject({ inside: 2, outside: 0, deviation: 2, family: "line" });
      expect(moved[0].nats).toBeCloseTo(nats, 9);
      expect(moved[0].showing).toHaveLength(inside);
    });

    it("are told by distances, not by where nought is, and either way round", () => {
      const at = (inside: number, outside: number) =>
        score([values(turned, times(4, inside), times(8, outside))]).logOdds;
      expect(at(-98.5, -100)).toBeCloseTo(at(1.5, 0), 9);
      expect(at(-1.5, 0)).toBeCloseTo(at(1.5, 0), 9);
    });

    it("count a path at six nats at most, a strip at twelve", () => {
      const families = (count: number) =>
        ["line", "mic", "tape"]
          .slice(0, count)
          .map((family) => values(turned, times(4, 100), times(8, 0), { family }));
      expect(score(families(1)).logOdds).toBeCloseTo(logPrior - 3 + 4 * 6, 9);
      expect(score(families(2)).logOdds).toBeCloseTo(logPrior - 3 + 4 * 12, 9);
      expect(score(families(3)).logOdds).toBeCloseTo(logPrior - 3 + 4 * 12, 9);
    });

    it("take what shares scatter by from what each path tells", () => {
      // A level scatters by a tenth of itself, here by 1: with s = 1/√3 together 2/√3, twice as wide.
      const lost = score([values(row("level"), times(4, -10), times(8, 0))]);
      expect(lost.logOdds).toBeCloseTo(logPrior - 3 + 4 * (6 - Math.log(2)), 9);
      // That many gained level is six nats less likely.
      const gained = score([values(row("level"), times(4, 10), times(8, 0))]);
      expect(gained.logOdds).toBeCloseTo(lost.logOdds - 6, 9);
    });

    it("are not moved by a path inside that is odd by itself", () => {
      // 13 paths: s = √(5/16). Neither side explains the odd one for less than its six nats.
      const loose = Math.hypot(spread(13), 1);
      const { logOdds, moved } = score([
        values(row("level"), [...times(4, -10), -40], times(8, 0)),
      ]);
      expect(logOdds).toBeCloseTo(logPrior - 3 + 4 * (6 - Math.log(loose / spread(13))), 9);
      expect(moved[0].showing).toHaveLength(5);
    });

    it("fall by a path inside that has what those outside have", () => {
      const { logOdds, moved } = score([values(turned, [...times(4, 100), 0], times(8, 0))]);
      expect(logOdds).toBeCloseTo(logPrior - 3 + 4 * 6 - 6, 9);
      expect(moved[0].showing).toHaveLength(4);
    });

    it("are reckoned in the scatter seen and that known beforehand", () => {
      // All lie 1 off their own middle: seen is 1/Φ⁻¹(3/4) = 1.4826, by twelve paths less two medians.
      const s = Math.sqrt((5 + 10 * 1.4826 ** 2) / 15);
      const inside = [9, 11, 9, 11];
      const outside = [-1, 1, -1, 1, -1, 1, -1, 1];
      const nats = inside.reduce((sum, one) => sum + price(one / s) - price(1 / s), 0);
      const found = score([values(turned, inside, outside)]);
      expect(found.logOdds).toBeCloseTo(logPrior - 3 + nats, 9);
    });

    it("take a path midway for neither side's", () => {
      const { moved } = score([values(turned, [...times(4, 10), 5], times(8, 0))]);
      expect(moved[0].showing).toHaveLength(4);
    });

    it("fall where level was gained, whatever else moved", () => {
      const bent = values(row("distortion"), times(4, 20), times(8, 0));
      const [up, down] = [10, -10].map((db) =>
        score([values(row("level"), times(4, db), times(8, 0)), bent]),
      );
      expect(up.aspects).toStrictEqual(down.aspects);
      expect(up.logOdds - down.logOdds).toBeCloseTo(-6, 9);
    });

    it("ask for more than three nats of an aspect", () => {
      // 4·2.5·ln(1 + t²/4) is 3 at t = 2·√(e^0.3 − 1).
      const at = 2 * Math.sqrt(Math.exp(0.3) - 1) * spread(12);
      const small = row("polarity", { least: 0.1 });
      const told = (value: number) => score([values(small, times(4, value), times(8, 0))]);
      expect(told(1.01 * at).aspects).toStrictEqual(["polarity"]);
      expect(told(0.99 * at)).toMatchObject({
        aspects: [],
        moved: [],
        logOdds: Number.NEGATIVE_INFINITY,
        logOddsApart: Number.NEGATIVE_INFINITY,
      });
    });

    it("count an aspect by its most telling row, whichever comes first", () => {
      const [weak, strong] = [1.2, 2].map((value) =>
        values(row("polarity", { reading: `${value}` }), times(4, value), times(8, 0)),
      );
      const expected = logPrior - 3 + 4 * price(2 / spread(12));
      for (const own of [
        [weak, strong],
        [strong, weak],
      ]) {
        expect(score(own).logOdds).toBeCloseTo(expected, 9);
        expect(score(own).moved).toHaveLength(2);
      }
    });

    it("pay three nats for each aspect, and name the most telling first", () => {
      const of = (aspect: SharedAspect, value: number) =>
        values(row(aspect), times(4, value), times(8, 0));
      const { aspects, logOdds } = score([of("polarity", 1.2), of("dead", 1.5)]);
      expect(aspects).toStrictEqual(["dead", "polarity"]);
      expect(score([of("polarity", 1.5), of("dead", 1.2)]).aspects).toStrictEqual([
        "polarity",
        "dead",
      ]);
      // Together 4.4 nats a strip: below the twelve that one strip's own fault costs.
      const nats = 4 * (price(1.2 / spread(12)) + price(1.5 / spread(12)));
      expect(logOdds).toBeCloseTo(logPrior - 6 + nats, 9);
    });

    it("take off what a part is not ready for", () => {
      const own = [values(turned, times(4, 1.5), times(8, 0))];
      const against = (kind: SharedPart["kind"]) =>
        score(own, { kind, name: "A" }).logOdds - score(own).logOdds;
      expect(against("ribbon")).toBeCloseTo(-2, 9);
      expect(against("supply")).toBeCloseTo(-5, 9);
    });
  });

  describe("what moves a row", () => {
    const moves = (of: Row, value: number, more: { bounds?: number } = {}, part = named) =>
      score([values(of, times(4, value), times(8, 0), more)], part).moved.length === 1;

    it("is a difference of its practical floor, in the direction of harm", () => {
      const far = { scatter: 0.01, least: 3 };
      expect([3, 2.99, -3, -2.99].map((db) => moves(row("bass", far), db))).toStrictEqual([
        true,
        false,
        true,
        false,
      ]);
      expect([3, -3].map((db) => moves(row("bass", { ...far, harm: "up" }), db))).toStrictEqual([
        true,
        false,
      ]);
      expect([3, -3].map((db) => moves(row("bass", { ...far, harm: "down" }), db))).toStrictEqual([
        false,
        true,
      ]);
    });

    it("may be a floor that falls where the level was touched", () => {
      const level: SharedPart = { kind: "level" };
      expect(moves(row("noise", { harm: "up" }), -30, {}, named)).toBe(false);
      expect(moves(row("noise", { harm: "up" }), -30, {}, level)).toBe(true);
      expect(moves(row("distortion", { harm: "up" }), -30, {}, level)).toBe(false);
    });

    it("is none where more than half of those inside are bounds", () => {
      expect([0, 2, 3].map((bounds) => moves(turned, 9, { bounds }))).toStrictEqual([
        true,
        true,
        false,
      ]);
    });

    it("is seen on two paths or more on either side", () => {
      const counted = (inside: number, outside: number) =>
        score([values(turned, times(inside, 9), times(outside, 0))]).moved.length;
      expect([counted(2, 4), counted(1, 4), counted(4, 2), counted(4, 1)]).toStrictEqual([
        1, 0, 1, 0,
      ]);
    });

    it("is alike on three fifths of those inside", () => {
      const fits = (inside: readonly number[]) =>
        score([values(turned, inside, times(8, 0))]).moved.length;
      expect(fits([100, 100, 100, 40, 160])).toBe(1);
      expect(fits([100, 100, 40, 160, 170])).toBe(0);
    });

    it("is alike within three standard deviations", () => {
      // Five inside, of which two lie off: the scatter about the medians stays that of the others, 0.
      const fits = (off: number) =>
        score([values(turned, [100, 100, 100 - off, 100 + off, 100 + off], times(8, 0))]).moved
          .length;
      expect(fits(2.9 * spread(13))).toBe(1);
      expect(fits(3.1 * spread(13))).toBe(0);
    });
  });

  describe("strips that readings alone have picked out", () => {
    const unnamed: SharedPart = { kind: "bank" };
    const both = (inside: number, outside: number, of: Readonly<Record<string, number>>) =>
      Object.entries(of).map(([family, value]) =>
        values(turned, times(inside, value), times(outside, 0), { family }),
      );

    it("must be three that agree", () => {
      const alike = (inside: readonly number[], part = unnamed) =>
        score([values(turned, inside, times(8, 0))], part).moved.length;
      expect([alike(times(3, 9)), alike(times(2, 9)), alike(times(2, 9), named)]).toStrictEqual([
        1, 0, 1,
      ]);
      expect([alike([100, 100, 40]), alike([100, 100, 40], named)]).toStrictEqual([0, 1]);
    });

    it("are believed as far as two kinds explain them better than one that scatters", () => {
      // Six of twelve 20 off: about the median of all 10, as many standard deviations wider as fit best of
      // 1, 1.25, 1.25², …: 1.25^13, where t = 10/(s·1.25^13) = 0.952. Two kinds cost nothing.
      const cost = price(10 / (spread(12) * 1.25 ** 13)) + 13 * Math.log(1.25);
      const { logOdds, logOddsApart } = score(both(6, 6, { line: 20, mic: 20 }), unnamed);
      expect(logOdds).toBeCloseTo(logPrior - 3 + 6 * 12, 9);
      expect(logOddsApart).toBeCloseTo(logPrior - 3 + 12 * cost, 9);
    });

    it("are believed no further than by a scatter fifty times as wide", () => {
      // 1.25^17 = 44.4 is the widest below 50.
      const cost = price(50 / (spread(12) * 1.25 ** 17)) + 17 * Math.log(1.25);
      const { logOddsApart } = score(both(6, 6, { line: 100, mic: 100 }), unnamed);
      expect(logOddsApart).toBeCloseTo(logPrior - 3 + 12 * cost, 9);
    });

    it("are believed by the rows that they move, and by the inputs", () => {
      const still = values(row("bass"), times(6, 0), times(6, 0));
      const own = both(6, 6, { line: 20, mic: 20 });
      expect(score([...own, still], unnamed).logOddsApart).toBe(score(own, unnamed).logOddsApart);
      const one = both(6, 6, { line: 20, mic: 0 });
      expect(score(one, unnamed).aspects).toStrictEqual(["polarity"]);
      // A part of some other kind is believed by what is known of it.
      const ribbon = score(own, { kind: "ribbon" });
      expect(ribbon.logOddsApart).toBe(ribbon.logOdds);
    });

    it("are two kinds by so much less as either scatters by itself", () => {
      // About the median of all, 9, and about their own, 0 and 20; the median distance from these is 0.
      const inside = [20, 20, 20, 22, 18, 20];
      const s = spread(12);
      const aboutAll = [...times(6, -9), ...inside.map((one) => one - 9)];
      const asOne = Array.from({ length: 18 }, (_, k) => {
        const wider = 1.25 ** k;
        return aboutAll.reduce((sum, one) => sum + price(one / (wider * s)), 12 * Math.log(wider));
      });
      const own = ["line", "mic"].map((family) => values(turned, inside, times(6, 0), { family }));
      const expected = Math.min(...asOne) - 2 * price(2 / s);
      expect(score(own, unnamed).logOddsApart).toBeCloseTo(logPrior - 3 + expected, 9);
    });

    it("are not asked whether they are two kinds where a side is one strip", () => {
      /** Paths inside and outside on so many strips each, 100 apart. */
      const on = (strips: readonly [number, number]) => {
        const { paths } = values(turned, times(3, 100), times(8, 0));
        const placed = paths.map((one, k) => ({
          ...one,
          strip: k < 3 ? `in ${k % strips[0]}` : `out ${k % strips[1]}`,
        }));
        return score([{ row: turned, family: "line", paths: placed }], unnamed);
      };
      // A strip counts at twelve nats, and three paths of one at no more.
      expect(on([1, 8]).logOddsApart).toBeCloseTo(logPrior - 3 + 12, 9);
      expect(on([3, 1]).logOddsApart).toBeCloseTo(logPrior - 3 + 12, 9);
      // Two strips of ten: six nats each are what one wide kind pays.
      expect(on([2, 8]).logOdds).toBeCloseTo(logPrior - 3 + 12 + 6, 9);
      expect(on([2, 8]).logOddsApart).toBeCloseTo(logPrior - 3 + 12, 9);
      expect(on([3, 2]).logOddsApart).toBeCloseTo(logPrior - 3 + 12, 9);
    });

    it("are believed by the input that parts them best", () => {
      const { logOddsApart } = score(both(6, 6, { line: 20, mic: 4 }), unnamed);
      const cost = price(10 / (spread(12) * 1.25 ** 13)) + 13 * Math.log(1.25);
      const nats = 6 * (6 + price(4 / spread(12)));
      expect(logOddsApart).toBeCloseTo(logPrior - 3 + Math.min(nats, 12 * cost), 9);
      // One input that agrees on either side and one in which the set lies on both: the mean is less apart.
      const [line] = both(6, 6, { line: 20 });
      expect(score([line], unnamed).logOddsApart).toBeCloseTo(logPrior - 3 + 36, 9);
    });
  });

  describe("what goes along with something else", () => {
    const of = (aspect: SharedAspect, db: number, more: Partial<Row> = {}) =>
      values(row(aspect, { scatter: 0.1, least: 0.5, ...more }), times(4, db), times(8, 0));
    const told = (changes: Readonly<Partial<Record<SharedAspect, number>>>) =>
      [
        ...aspectsOf(
          Object.entries(changes).map(([aspect, db]) => of(aspect as SharedAspect, db as number)),
        ),
      ].sort();

    it("is noise and hum that rise with a level that rose, within a decibel", () => {
      for (const aspect of ["noise", "hum-odd", "hum-even"] as const) {
        // Odd lines are asked for a step of 8 dB.
        expect(told({ level: 12, [aspect]: 12.9 })).toStrictEqual(["level"]);
        expect(told({ level: 12, [aspect]: 13.1 })).toStrictEqual([aspect, "level"].sort());
      }
      expect(told({ level: 12, noise: 13 })).toStrictEqual(["level"]);
      expect(told({ level: -3, noise: 3 })).toStrictEqual(["level", "noise"]);
      expect(told({ level: 3, distortion: 3 })).toStrictEqual(["distortion", "level"]);
    });

    it("is harmonics against a tone that is lost, by as much and a decibel", () => {
      for (const aspect of ["distortion", "clipping"] as const) {
        expect(told({ level: -6, [aspect]: 6.9 })).toStrictEqual(["level"]);
        expect(told({ level: -6, [aspect]: 7.1 })).toStrictEqual([aspect, "level"].sort());
        expect(told({ level: -5.9, [aspect]: 6 })).toStrictEqual([aspect, "level"].sort());
      }
      expect(told({ level: -6, distortion: 7 })).toStrictEqual(["level"]);
      expect(told({ level: -6, treble: 6 })).toStrictEqual(["level", "treble"]);
    });

    it("is mains lines that rise no more than the noise, within a decibel", () => {
      for (const aspect of ["hum-odd", "hum-even"] as const) {
        expect(told({ noise: 10, [aspect]: 10.9 })).toStrictEqual(["noise"]);
        expect(told({ noise: 10, [aspect]: 11.1 })).toStrictEqual([aspect, "noise"].sort());
        expect(told({ noise: -10, [aspect]: 10 })).toStrictEqual([aspect, "noise"].sort());
      }
      expect(told({ noise: 10, "hum-even": 11 })).toStrictEqual(["noise"]);
      expect(told({ "hum-even": 0.9 })).toStrictEqual(["hum-even"]);
      expect(told({ noise: 10, distortion: 9 })).toStrictEqual(["distortion", "noise"]);
    });
  });

  describe("odd lines at the edges of a set", () => {
    // Strips 3 and 4 of four inside have neighbours outside within two places, and are held against those
    // within three: a − median(20, 10) and b − median(20, 10, 4), in the middle (a + b − 25)/2.
    const outside = [20, 10, 4, 0, 0, 0, 0, 0];
    const moved = (inside: readonly number[]) =>
      score([values(row("hum-odd", { scatter: 20 }), inside, outside)]).moved.length;

    it("step by 8 dB where a part makes them", () => {
      expect(moved([40, 40, 20.5, 20.5])).toBe(1);
      expect(moved([40, 40, 20.4, 20.5])).toBe(0);
      expect(moved([40, 40, 12, 29])).toBe(1);
      expect(moved([40, 40, 12, 28.9])).toBe(0);
    });

    it("say nothing where no strip outside is near", () => {
      const paths = values(row("hum-odd"), times(4, 5), times(8, 0)).paths;
      const at = (gap: number) => [
        {
          row: row("hum-odd"),
          family: "line",
          paths: paths.map((one) => (one.place < 4 ? one : { ...one, place: one.place + gap })),
        },
      ];
      // 5 dB are no step between neighbours; from two strips between them on there are none.
      expect([0, 1, 2].map((gap) => score(at(gap)).moved.length)).toStrictEqual([0, 0, 1]);
    });
  });

  describe("a part behind the place where inputs join", () => {
    // Added on the line input: 10·lg(10 − 1) = 9.54; on the mic input the level for as much or more.
    const added = 10 * Math.log10(9);
    const own = (more: number, aspect: SharedAspect = "noise") => {
      const mic = 10 * Math.log10(1 + 10 ** ((added + more) / 10));
      const of = row(aspect, { scatter: 0.1 });
      return [
        values(of, times(4, 10), times(8, 0)),
        values(of, times(4, mic), times(8, 0), { family: "mic" }),
      ];
    };
    const against = (kind: SharedPart["kind"], more: number, aspect?: SharedAspect) =>
      score(own(more, aspect), { kind, name: "A" }).logOdds - score(own(more, aspect)).logOdds;

    it("adds the same to each within 4 dB, or is five nats less likely", () => {
      for (const kind of ["group", "bus"] as const) {
        expect(against(kind, 0)).toBeCloseTo(0, 9);
        expect(against(kind, 3.9)).toBeCloseTo(0, 9);
        expect(against(kind, -3.9)).toBeCloseTo(0, 9);
        expect(against(kind, 4.1)).toBeCloseTo(-5, 9);
        expect(against(kind, -4.1)).toBeCloseTo(-5, 9);
      }
    });

    it("adds above what there is, and only in the row that tells most", () => {
      // Everything 20 dB lower is the same; distortion, which shows on one input far more, tells less.
      const off = (more: number) =>
        own(more).map(({ paths, ...rest }) => ({
          ...rest,
          paths: paths.map((path) => ({ ...path, value: path.value - 20 })),
        }));
      const bent = row("distortion", { scatter: 9 });
      const beside = [
        values(bent, times(4, 12), times(8, 0)),
        values(bent, times(4, 20), times(8, 0), { family: "mic" }),
      ];
      const odds = (more: number, part: SharedPart) => score([...beside, ...off(more)], part);
      expect(odds(3.9, named).aspects).toStrictEqual(["noise", "distortion"]);
      const group: SharedPart = { kind: "group", name: "A" };
      expect(odds(3.9, group).logOdds - odds(3.9, named).logOdds).toBeCloseTo(0, 9);
      expect(odds(4.1, group).logOdds - odds(4.1, named).logOdds).toBeCloseTo(-5, 9);
    });

    it("is not asked for it by what is no power of its own", () => {
      expect(against("group", 9, "level")).toBeCloseTo(0, 9);
    });
  });

  describe("a level that was touched", () => {
    const level: SharedPart = { kind: "level" };
    const of = row("level", { least: 0.5 });
    const touched = [values(of, times(4, -2), times(8, 0))];
    /** An input of which all was recorded after the level was touched, or all before it. */
    const whole = (side: "after" | "before", levels: readonly number[]) =>
      side === "after"
        ? values(of, levels, [], { family: "mic" })
        : values(of, [], levels, { family: "mic" });
    const more = (own: RowValues) =>
      score([...touched, own], level).logOdds - score(touched, level).logOdds;
    const far = price(2 / 0.7);

    it("holds for inputs recorded after it, and not before it: alike within 0.7 dB", () => {
      expect(more(whole("after", times(4, -2)))).toBeCloseTo(far, 9);
      expect(more(whole("before", times(4, 0)))).toBeCloseTo(far, 9);
      expect(more(whole("after", times(4, 0)))).toBeCloseTo(-far, 9);
      expect(more(whole("before", times(4, -2)))).toBeCloseTo(-far, 9);
      expect(more(whole("after", times(4, -1.5)))).toBeCloseTo(
        price(1.5 / 0.7) - price(0.5 / 0.7),
        9,
      );
    });

    it("asks three of four paths of such an input to be at one level, within 1.4 dB", () => {
      expect(more(whole("after", [-2, -2, -2, 5]))).toBeCloseTo(far, 9);
      expect(more(whole("after", [-2, -2, -2, 5, 5]))).toBeCloseTo(-6, 9);
      expect(more(whole("after", [-2, -2, -2, -0.7, -3.3]))).toBeCloseTo(far, 9);
      expect(more(whole("after", [-2, -2, -2, -0.5, -3.5]))).toBeCloseTo(-6, 9);
    });

    it("moves the floors by as much, or is two nats less likely for each that it does not", () => {
      const with_ = (changes: readonly (readonly [SharedAspect, number])[]) => {
        const own = [
          ...touched,
          ...changes.map(([aspect, db]) => values(row(aspect), times(4, db), times(8, 0))),
        ];
        return score(own, level).logOdds - score(own, named).logOdds;
      };
      expect(with_([["noise", -2.9]])).toBeCloseTo(0, 9);
      expect(with_([["noise", -3]])).toBeCloseTo(0, 9);
      expect(with_([["noise", -3.1]])).toBeCloseTo(-2, 9);
      expect(
        with_([
          ["noise", -8],
          ["hum-even", -8],
        ]),
      ).toBeCloseTo(-4, 9);
      expect(with_([["treble", -2]])).toBeCloseTo(-12, 9);
    });

    it("asks nothing of an input that was recorded in part, nor of what is no level", () => {
      const mic = values(of, times(4, -4), times(8, 0), { family: "mic" });
      const own = [...touched, mic];
      expect(score(own, level).logOdds).toBeCloseTo(score(own, named).logOdds, 9);
      const noise = values(row("noise"), times(4, -2), [], { family: "mic" });
      expect(more(noise)).toBeCloseTo(0, 9);
    });

    it("is nothing without the level itself", () => {
      const own = [values(row("noise"), times(4, -9), times(8, 0))];
      expect(score(own, level).logOdds - score(own, named).logOdds).toBeCloseTo(-12, 9);
    });

    it("names the level first, however much more telling the noise is", () => {
      const own = [...touched, values(row("noise"), times(4, -9), times(8, 0))];
      expect(score(own, level).aspects).toStrictEqual(["level", "noise"]);
      expect(score(own, named).aspects).toStrictEqual(["noise", "level"]);
    });
  });

  describe("paths that went through one output", () => {
    const through = { isThrough: true } as const;
    const level = row("level");
    const output: SharedPart = { kind: "output", name: "1" };

    it("are told together, each input against its own outside", () => {
      // One path of each of two inputs: neither tells alone, together two.
      const own = [
        values(level, [-16], times(5, -10)),
        values(level, [44], times(5, 50), { family: "mic" }),
      ];
      expect(score(own, output).moved).toStrictEqual([]);
      const { moved } = score(own, output, through);
      expect(moved).toHaveLength(1);
      expect(moved[0]).toMatchObject({ family: "line", inside: -16, outside: -10, deviation: -6 });
    });

    it("are told by the level of the input that most went through it with", () => {
      const own = [
        values(level, [-16], times(9, -10)),
        values(level, [44, 44], times(5, 50), { family: "mic" }),
      ];
      const [one] = score(own, output, through).moved;
      expect(one).toMatchObject({ family: "mic", inside: 44, outside: 50, deviation: -6 });
    });

    it("leave out an input of which fewer than two went elsewhere", () => {
      const own = (outside: number) => [
        values(level, [-6, -6], times(4, 0)),
        values(level, [0, 0], times(outside, 0), { family: "mic" }),
      ];
      // Where the mic input counts, its two that do not show it leave no three fifths that do.
      expect(score(own(1), output, through).moved[0]?.deviation).toBeCloseTo(-6, 9);
      expect(score(own(2), output, through).moved).toStrictEqual([]);
    });

    it("say nothing by inputs that lie wholly on one side", () => {
      const line = values(level, [-6, -6, -6], times(5, 0));
      const elsewhere = values(level, [], [0, 30, -30, 60, -60, 90], { family: "mic" });
      expect(score([line, elsewhere], output, through).logOdds).toBeCloseTo(
        score([line], output, through).logOdds,
        9,
      );
      expect(score([values(level, times(4, -6), [0])], output, through).moved).toStrictEqual([]);
    });

    it("are turned against how their own input comes back", () => {
      const own = [
        values(turned, [-1, -1], times(5, 1)),
        values(turned, [1], times(5, -1), { family: "mic" }),
      ];
      const [one] = score(own, output, through).moved;
      expect(one).toMatchObject({ inside: -1, outside: 1, deviation: -2 });
      expect(one.showing).toHaveLength(3);
      const upside = own.map(({ paths, ...more }) => ({
        ...more,
        paths: paths.map((path) => ({ ...path, value: -path.value })),
      }));
      expect(score(upside, output, through).moved[0]).toMatchObject({
        inside: 1,
        outside: -1,
        deviation: 2,
      });
    });

    it("are told input by input of what adds to the signal", () => {
      const of = row("noise");
      const own = [
        values(of, times(2, 9), times(5, 0)),
        values(of, times(2, 9), times(5, 0), { family: "mic" }),
      ];
      expect(score(own, output, through).moved.map(({ family }) => family)).toStrictEqual([
        "line",
        "mic",
      ]);
    });
  });

  it("reads rows with the strip's place, of families of four paths and more", () => {
    const path = (strip: string, input: string) => ({
      path: `${strip}/${input}`,
      strip,
      input,
      family: input,
      measurement: {
        readings: { gain: { value: Number(strip), unit: "dB", uncertainty: 0 } },
        absent: {},
        curves: {},
      },
    });
    const paths = [
      ...["4", "2", "1", "3"].map((strip) => path(strip, "line")),
      ...["1", "2", "3"].map((strip) => path(strip, "mic")),
      { path: "5/line", strip: "5", input: "line", family: "line" },
    ];
    const read = readRows(paths, ["1", "2", "3", "4"]).filter((one) => one.row.reading === "gain");
    expect(read.map(({ family }) => family)).toStrictEqual(["line"]);
    expect(read[0].paths.map(({ strip, place, value }) => [strip, place, value])).toStrictEqual([
      ["4", 3, 4],
      ["2", 1, 2],
      ["1", 0, 1],
      ["3", 2, 3],
    ]);
    // 0.15 for any of the named, shared by three and one that nobody has named.
    expect(computePartPrior(3)).toBeCloseTo(Math.log(0.15 / 4), 12);
  });
});

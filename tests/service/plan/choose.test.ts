import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Construction, DeskPart } from "../../../src/desk/construction.js";
import { chooseRepairs, type RepairOption } from "../../../src/service/plan/choose.js";
import { measureProcessorS } from "../../helpers/processor-time.js";

const construction = (parts: readonly DeskPart[], open = 30, pull = 10): Construction => ({
  openMinutes: open,
  pullMinutes: pull,
  parts,
  values: {},
});
const job = (strip: string, worth: number, minutes: number): RepairOption => ({
  strip,
  worth,
  minutes,
});
const worth = (jobs: readonly RepairOption[]) => jobs.reduce((sum, one) => sum + one.worth, 0);

/** The best worth by trying every set of jobs: what exactness is held against. */
function bruteForce(jobs: readonly RepairOption[], built: Construction, budget: number) {
  let best = { worth: 0, minutes: 0 };
  for (let bits = 1; bits < 2 ** jobs.length; bits++) {
    const set = jobs.filter((_, k) => (bits >> k) & 1);
    const strips = new Set(set.map(({ strip }) => strip));
    const parts = built.parts.filter((part) => part.strips.some((strip) => strips.has(strip)));
    const carried = new Set(parts.flatMap((p) => (p.kind === "card" ? p.strips : [])));
    const pulled = [...strips].filter((strip) => !carried.has(strip)).length;
    const minutes =
      built.openMinutes +
      parts.reduce((sum, part) => sum + part.minutes, 0) +
      pulled * built.pullMinutes +
      [...strips].length * 2 +
      set.reduce((sum, one) => sum + one.minutes, 0);
    if (minutes > budget) continue;
    const all = worth(set);
    if (all > best.worth || (all === best.worth && minutes < best.minutes)) {
      best = { worth: all, minutes };
    }
  }
  return best;
}

const strips = ["1", "2", "3", "4", "5", "6"];
const arbitraryPart = fc
  .record({
    from: fc.nat(5),
    length: fc.integer({ min: 1, max: 4 }),
    minutes: fc.nat(40),
    kind: fc.constantFrom("cover" as const, "cable" as const, "card" as const),
  })
  .map(({ from, length, ...part }) => ({ ...part, strips: strips.slice(from, from + length) }));

describe("chooseJobs", () => {
  it("finds the best set there is, whatever overlaps", () => {
    fc.assert(
      fc.property(
        fc.array(arbitraryPart, { maxLength: 5 }),
        fc.array(
          fc.record({
            strip: fc.constantFrom(...strips),
            worth: fc.integer({ min: 1, max: 12 }),
            minutes: fc.integer({ min: 5, max: 60 }),
          }),
          { minLength: 1, maxLength: 8 },
        ),
        fc.integer({ min: 0, max: 400 }),
        (parts, jobs, budget) => {
          const built = construction(parts.map((part, k) => ({ ...part, name: `part ${k}` })));
          const found = chooseRepairs(jobs, built, budget, { testMinutes: () => 2 });
          const best = bruteForce(jobs, built, budget);
          expect(worth(found.jobs)).toBe(best.worth);
          expect(found.minutes).toBe(best.minutes);
          expect(found.minutes).toBeLessThanOrEqual(budget);
        },
      ),
      { numRuns: 400 },
    );
  });

  it("takes off a cover that pays for three jobs together and for none alone", () => {
    const cover: DeskPart = { name: "left", kind: "cover", strips: ["1", "2", "3"], minutes: 60 };
    const jobs = [job("1", 4, 10), job("2", 4, 10), job("3", 4, 10), job("5", 5, 30)];
    // 30 open + 60 cover + 3 × (10 pull + 10) = 150; strip 5 alone would be the better rate.
    const found = chooseRepairs(jobs, construction([cover]), 150);
    expect(found.jobs.map(({ strip }) => strip)).toStrictEqual(["1", "2", "3"]);
    expect(found.minutes).toBe(150);
  });

  it("pulls no strip that comes out with its card", () => {
    const card: DeskPart = { name: "card", kind: "card", strips: ["1", "2"], minutes: 20 };
    const found = chooseRepairs(
      [job("1", 1, 5), job("2", 1, 5), job("3", 1, 5)],
      construction([card]),
    );
    expect(found.pulled).toStrictEqual(["3"]);
    expect(found.minutes).toBe(30 + 20 + 10 + 15);
  });

  it("opens nothing when the hours do not suffice for anything", () => {
    expect(chooseRepairs([job("1", 9, 60)], construction([]), 60)).toStrictEqual({
      jobs: [],
      parts: [],
      pulled: [],
      minutes: 0,
    });
  });

  it("is quick for a large desk with much to do", async () => {
    const many = Array.from({ length: 96 }, (_, k) => String(k + 1));
    const parts = Array.from({ length: 12 }, (_, k): DeskPart => {
      return { name: `bay ${k}`, kind: "cover", minutes: 15, strips: many.slice(8 * k, 8 * k + 8) };
    });
    const jobs = many.flatMap((strip, k) => [job(strip, 1 + (k % 9), 20 + (k % 5) * 10)]);
    const choose = () => chooseRepairs(jobs, construction(parts), 24 * 60);
    expect(await measureProcessorS(choose)).toBeLessThan(1);
  });
});

describe("an opening", () => {
  const part = (
    name: string,
    strips: readonly string[],
    minutes = 5,
    kind: DeskPart["kind"] = "cover",
  ) => ({ name, strips, minutes, kind }) satisfies DeskPart;

  it("with no hours given is all work, and nothing where there is none", () => {
    const jobs = [job("1", 1, 5), job("2", 1, 7), job("1", 2, 11)];
    const panel = part("panel", ["1", "9"]);
    // 30 to open, 5 for the panel, 2 × 10 for strips, 23 at the bench
    expect(chooseRepairs(jobs, construction([panel, part("far", ["8", "9"])]))).toStrictEqual({
      jobs,
      parts: [panel],
      pulled: ["1", "2"],
      minutes: 30 + 5 + 20 + 23,
    });
    expect(chooseRepairs([], construction([panel]))).toStrictEqual({
      jobs: [],
      parts: [],
      pulled: [],
      minutes: 0,
    });
    expect(chooseRepairs([], construction([panel]), 500).minutes).toBe(0);
  });

  it("takes off what lies over most strips first, among equals what is larger", () => {
    const parts = [
      part("small", ["1"]),
      part("wide", ["1", "7", "8"]),
      part("both", ["1", "2"]),
      part("near", ["1", "9"]),
    ];
    const jobs = [job("1", 1, 5), job("2", 1, 5)];
    for (const budget of [undefined, 400]) {
      const found = chooseRepairs(jobs, construction(parts), budget);
      expect(found.parts.map(({ name }) => name)).toStrictEqual(["both", "wide", "near", "small"]);
    }
  });

  it("counts each begun minute of a strip, a test and a job", () => {
    const times = {
      testMinutes: () => 1.2,
      pullMinutes: (strip: string) => (strip === "1" ? 3.5 : 8),
    };
    const built = construction([part("panel", ["1"], 4.5)]);
    // 30 + 5 + 4 + 2 + 11
    const need = 52;
    const one = [job("1", 1, 10.1)];
    expect(chooseRepairs(one, built, undefined, times).minutes).toBe(need);
    expect(chooseRepairs(one, built, need, times)).toMatchObject({ jobs: one, minutes: need });
    expect(chooseRepairs(one, built, need - 1, times).jobs).toStrictEqual([]);
    expect(chooseRepairs(one, built, need + 0.5, times).jobs).toStrictEqual(one);
    // Strip 2: 30 + 8 + 2 + 11
    const other = [job("2", 1, 10.1)];
    expect(chooseRepairs(other, built, 51, times).jobs).toStrictEqual(other);
    expect(chooseRepairs(other, built, 50, times).jobs).toStrictEqual([]);
    // Without times a strip takes the construction's, and no test.
    expect(chooseRepairs(other, built, 30 + 10 + 11).jobs).toStrictEqual(other);
    expect(chooseRepairs(other, built, 30 + 10 + 10).jobs).toStrictEqual([]);
  });

  it("takes of equals what is done sooner, and worth before time", () => {
    const [slow, quick] = [job("1", 2, 20), job("2", 2, 19)];
    expect(chooseRepairs([slow, quick], construction([]), 60).jobs).toStrictEqual([quick]);
    expect(chooseRepairs([quick, slow], construction([]), 60).jobs).toStrictEqual([quick]);
    const dear = job("3", 2.1, 20);
    expect(chooseRepairs([quick, dear], construction([]), 60).jobs).toStrictEqual([dear]);
  });

  it("pulls no strip of a card, though the card crosses a cover", () => {
    const parts = [part("card", ["1", "2"], 6, "card"), part("panel", ["2", "3"], 7)];
    const jobs = [job("1", 1, 5), job("2", 1, 5), job("3", 1, 5)];
    // 30, 6 and 7, strip 3 pulled for 10, three jobs of 5
    const need = 30 + 6 + 7 + 10 + 15;
    const { jobs: chosen, ...rest } = chooseRepairs(jobs, construction(parts), need);
    expect(new Set(chosen)).toStrictEqual(new Set(jobs));
    expect(rest).toStrictEqual({
      parts,
      pulled: ["3"],
      minutes: need,
    });
    // A minute less: the panel and strip 3 stay, and with it strip 2 under both.
    expect(chooseRepairs(jobs, construction(parts), need - 1).jobs).toHaveLength(2);
  });

  it("weighs ten crossing parts at most", () => {
    const crossing = (count: number) =>
      Array.from({ length: count }, (_, k) => [
        part(`a${k}`, [`${k}x`, `${k}y`]),
        part(`b${k}`, [`${k}y`, `${k}z`]),
      ]).flat();
    const jobs = (count: number) =>
      Array.from({ length: count }, (_, k) =>
        ["x", "y", "z"].map((end) => job(`${k}${end}`, 1, 5)),
      ).flat();
    expect(chooseRepairs(jobs(10), construction(crossing(10), 0, 0), 10).jobs).toHaveLength(1);
    expect(() => chooseRepairs(jobs(11), construction(crossing(11), 0, 0), 10)).toThrow(
      "More than 10 parts of the construction overlap without one containing the other.",
    );
    // Only parts over strips that have work count, and only where the hours are short.
    expect(
      chooseRepairs(jobs(10).slice(0, 6), construction(crossing(11), 0, 0), 10).jobs,
    ).toHaveLength(1);
    expect(chooseRepairs(jobs(11), construction(crossing(11))).jobs).toHaveLength(33);
  });
});

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
    expect(found.jobs.map(({ strip }) => strip)).toEqual(["1", "2", "3"]);
    expect(found.minutes).toBe(150);
  });

  it("pulls no strip that comes out with its card", () => {
    const card: DeskPart = { name: "card", kind: "card", strips: ["1", "2"], minutes: 20 };
    const found = chooseRepairs(
      [job("1", 1, 5), job("2", 1, 5), job("3", 1, 5)],
      construction([card]),
    );
    expect(found.pulled).toEqual(["3"]);
    expect(found.minutes).toBe(30 + 20 + 10 + 15);
  });

  it("opens nothing when the hours do not suffice for anything", () => {
    expect(chooseRepairs([job("1", 9, 60)], construction([]), 60)).toEqual({
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

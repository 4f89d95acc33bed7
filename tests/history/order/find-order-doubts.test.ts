import { describe, expect, it } from "vitest";
import { findOrderDoubts } from "../../../src/history/order/find-order-doubts.js";
import {
  computePathFingerprint,
  computeUnlikeness,
  type Fingerprint,
} from "../../../src/history/order/fingerprint.js";
import { gaussian } from "../../helpers/noise.js";
import { response } from "../../service/limits/rounds.js";

/** Twelve strips of two inputs, each with bass of its own; the second input hisses and distorts less. */
const sheet = ["mic", "line"].flatMap((family) =>
  Array.from({ length: 12 }, (_, k) => ({ path: `${k + 1}/${family}`, family })),
);
const bassDb = [0, 0.3, -0.2, 0.5, 0.1, -0.4, 0.2, -0.1, 0.4, -0.3, 0.6, -0.5];
const printOf = (k: number, off = 0): Fingerprint =>
  computePathFingerprint({
    readings: {
      hiss: { value: k < 12 ? -80 : -100, unit: "dBFS", uncertainty: 0.1 },
      thd: { value: k < 12 ? -78 : -92, unit: "dB", uncertainty: 0.1 },
    },
    curves: { response: response([bassDb[k % 12] + off, 0, 0, 0, 0]) },
  });
const prints = new Map(sheet.map(({ path }, k) => [path, printOf(k)]));
const earlier = { round: "2030-04-02-01", prints };
/** Returns of the paths with these places on the sheet, taken in the sheet's order. */
const played = (places: readonly number[], fileOf = (_: number) => "all.wav") =>
  places.map((place, k) => ({ ...sheet[k], file: fileOf(k), print: printOf(place, 0.002) }));
const all = sheet.map((_, k) => k);

describe("computeUnlikeness", () => {
  it("is minus the logarithm of Student's density with four degrees of freedom", () => {
    // Bass apart by one repeat of 0.015 dB: (4 + 1)/2 · ln(1 + 1/4).
    expect(computeUnlikeness(printOf(0, 0.015), printOf(0))).toBeCloseTo(2.5 * Math.log(1.25), 9);
    expect(computeUnlikeness(printOf(3), printOf(3))).toBe(0);
  });
});

describe("the order of recordings", () => {
  it("that fits the last round raises no doubt, faults and repairs or not", () => {
    expect(findOrderDoubts({ played: played(all), sheet, earlier })).toEqual([]);
    const one = played(all).map((r, k) => (k === 4 ? { ...r, print: printOf(5) } : r));
    expect(findOrderDoubts({ played: one, sheet, earlier })).toEqual([]);
  });

  it("of one input alone raises none, whatever stands beside it on the sheet", () => {
    // Where all that were played would be another input's together, they stay each other's siblings.
    const inTurn = Array.from({ length: 12 }, (_, k) =>
      ["line", "tape"].map((family) => ({ path: `${k + 1}/${family}`, family })),
    ).flat();
    const lines = inTurn.filter(({ family }) => family === "line");
    for (let seed = 1; seed <= 40; seed++) {
      const next = gaussian(seed);
      const returns = lines.map((path, k) => {
        const db = (value: number, unit: "dB" | "dBFS") => ({ value, unit, uncertainty: 0.1 });
        // Distortion that most hide in their noise, and one strip that is ill.
        const thd = k % 3 === 0 ? { thd100: db(-97 + 3 * next(), "dB") } : {};
        const ill = k === 4 ? 13 : 0;
        const readings = { hiss: db(-100 + 0.5 * next() + ill, "dBFS"), ...thd };
        return {
          ...path,
          file: `${k}.wav`,
          print: computePathFingerprint({ readings, curves: {} }),
        };
      });
      expect(findOrderDoubts({ played: returns, sheet: inTurn }), `seed ${seed}`).toEqual([]);
    }
  });

  it("that skipped a path is one place late from there on", () => {
    const skipped = played(all.filter((k) => k !== 7));
    expect(findOrderDoubts({ played: skipped, sheet, earlier })).toEqual([
      {
        code: "order-shifted",
        places: "late",
        file: "all.wav",
        first: "8/mic",
        affected: 16,
        round: "2030-04-02-01",
      },
    ]);
  });

  it("that has a path twice is one place early after it", () => {
    const twice = played([...all.slice(0, 6), 5, ...all.slice(6)].slice(0, 24));
    expect(findOrderDoubts({ played: twice, sheet, earlier })).toMatchObject([
      { code: "order-shifted", places: "early", first: "7/mic" },
    ]);
  });

  it("of files that were exchanged is reported with the other order", () => {
    const order = [...all.slice(8), ...all.slice(0, 8)];
    const files = (k: number) => (k < 16 ? "b.wav" : "a.wav");
    expect(findOrderDoubts({ played: played(order, files), sheet, earlier })).toMatchObject([
      { code: "files-exchanged", files: ["b.wav", "a.wav"], likelier: ["a.wav", "b.wav"] },
    ]);
  });

  it("is told by the families alone where inputs got mixed", () => {
    const order = [...all.slice(8), ...all.slice(0, 8)];
    const files = (k: number) => (k < 16 ? "b.wav" : "a.wav");
    const [doubt] = findOrderDoubts({ played: played(order, files), sheet });
    expect(doubt).toMatchObject({ code: "files-exchanged", likelier: ["a.wav", "b.wav"] });
    expect(doubt).not.toHaveProperty("round");
    expect(findOrderDoubts({ played: played(all), sheet })).toEqual([]);
  });

  it("is asked only for the place of a skip where the returns are too few, up to the last", () => {
    for (const skip of [22, 21, 15]) {
      const skipped = played(all.filter((k) => k !== skip));
      const [doubt] = findOrderDoubts({ played: skipped, sheet, earlier, count: "short" });
      expect(doubt, `${skip}`).toMatchObject({
        code: "order-shifted",
        places: "late",
        first: sheet[skip].path,
        affected: 23 - skip,
      });
    }
    // Nothing was skipped: the last path is what was not played.
    const ended = played(all.slice(0, 23));
    expect(findOrderDoubts({ played: ended, sheet, earlier, count: "short" })).toEqual([]);
  });

  it("is asked only for the place of a repeat where the returns are too many", () => {
    for (const again of [22, 21, 15]) {
      const order = [...all.slice(0, again + 1), again, ...all.slice(again + 1)].slice(0, 24);
      const twice = played(order);
      const [doubt] = findOrderDoubts({ played: twice, sheet, earlier, count: "long" });
      expect(doubt, `${again}`).toMatchObject({
        code: "order-shifted",
        places: "early",
        first: sheet[again + 1].path,
        affected: 23 - again,
      });
    }
    // One return that fits another path better may as well be a repair, or a new fault.
    const last = played([...all.slice(0, 23), 22]);
    expect(findOrderDoubts({ played: last, sheet, earlier })).toEqual([]);
    expect(findOrderDoubts({ played: last, sheet, earlier, count: "short" })).toEqual([]);
    const short = played(all.filter((k) => k !== 22));
    expect(findOrderDoubts({ played: short, sheet, earlier, count: "long" })).toEqual([]);
  });

  it("is told as a stretch where the families alone say that one of it was skipped", () => {
    const skipped = played(all.filter((k) => k !== 7));
    const [doubt] = findOrderDoubts({ played: skipped, sheet, count: "short" });
    expect(doubt).toMatchObject({ code: "order-shifted", places: "late" });
    const { between: [from, to] = [] } = doubt as { between?: readonly string[] };
    const place = (path: string | undefined) => sheet.findIndex((one) => one.path === path);
    expect(place(from)).toBeLessThanOrEqual(7);
    expect(place(to)).toBeGreaterThanOrEqual(7);
    expect(place(to)).toBeLessThan(12);
  });

  it("of inputs in each other's place on every strip is reported as such", () => {
    const order = [...all.slice(12), ...all.slice(0, 12)];
    expect(findOrderDoubts({ played: played(order), sheet, earlier })).toEqual([
      {
        code: "inputs-exchanged",
        inputs: ["mic", "line"],
        affected: 24,
        round: "2030-04-02-01",
      },
    ]);
  });
});

describe("how sure another order has to be", () => {
  // Bass comes back within 0.015 dB from one day to another, and one feature counts up to 8 nats
  // (`fingerprint.ts`): a return d repeats off its path costs 2.5 ln(1 + d²/4), so that it is known
  // beforehand what another order gains.
  const cost = (apart: number) => Math.min(8, 2.5 * Math.log1p(apart ** 2 / 4));
  const withBass = (repeats: number) =>
    computePathFingerprint({
      readings: {},
      curves: { response: response([0.015 * repeats, 0, 0, 0, 0]) },
    });
  const paths = (count: number) =>
    Array.from({ length: count }, (_, k) => ({ path: `${k + 1}/mic`, family: "mic" }));

  /** Returns of so many repeats each, of paths that had so many each in the last round. */
  function doubts(
    was: readonly number[],
    is: readonly number[],
    {
      fileOf = (_: number) => "all.wav",
      count,
    }: { fileOf?: (k: number) => string; count?: "short" | "long" } = {},
  ) {
    const own = paths(was.length);
    return findOrderDoubts({
      played: is.map((repeats, k) => ({ ...own[k], file: fileOf(k), print: withBass(repeats) })),
      sheet: own,
      earlier: {
        round: "2030-04-02-01",
        prints: new Map(own.map(({ path }, k) => [path, withBass(was[k])])),
      },
      ...(count === undefined ? {} : { count }),
    });
  }

  it("is no question of two returns, and one of three", () => {
    // Three files in a ring: each return fits another path by 8 nats, 24 in all and 8 without two.
    const ring = (count: number) => {
      const was = Array.from({ length: count }, (_, k) => 20 * k);
      const is = [...was.slice(1), was[0]];
      return doubts(was, is, { fileOf: (k) => `${k}.wav` });
    };
    expect(ring(2)).toEqual([]);
    expect(ring(3)).toMatchObject([{ code: "files-exchanged", affected: 3 }]);
    expect(ring(4)).toMatchObject([{ code: "files-exchanged", affected: 4 }]);
  });

  it("asks for 12 nats in all, and 3 without the two that gain most", () => {
    // Three files in a ring whose paths lie a and b repeats apart: they gain by a, b and a + b.
    const swapped = (a: number, b: number) =>
      doubts([0, a, a + b], [a, a + b, 0], { fileOf: (k) => `${k}.wav` }).length;
    const gains = (a: number, b: number) => [cost(a), cost(b), cost(a + b)];
    const sum = ([a, b, c]: readonly number[]) => a + b + c;
    for (const [step, isTold] of [
      [3.07, 0],
      [3.1, 1],
    ] as const) {
      expect(sum(gains(step, step)) >= 12).toBe(isTold === 1);
      expect(swapped(step, step)).toBe(isTold);
    }
    // 2.5 ln(1 + a²/4) is 3 at a = 3.046.
    expect(sum(gains(3, 8))).toBeGreaterThan(12);
    expect(swapped(3, 8)).toBe(0);
    expect(swapped(3.1, 8)).toBe(1);
  });

  it("counts nothing of a path that the last round has not", () => {
    // One place late from the first on, and of the third path nothing is known: three returns are left
    // that gain 3.4 nats each, 10.2 in all.
    const step = 3.4;
    expect(3 * cost(step)).toBeLessThan(12);
    const own = paths(6);
    const prints = new Map(
      [0, 1, Number.NaN, 2, 3, 4].flatMap((steps, k) =>
        Number.isNaN(steps) ? [] : [[own[k].path, withBass(step * steps)]],
      ),
    );
    const told = (scale: number) =>
      findOrderDoubts({
        played: [1, 1.5, 2, 3, 4, 4].map((steps, k) => ({
          ...own[k],
          file: "all.wav",
          print: withBass(scale * step * steps),
        })),
        sheet: own,
        earlier: {
          round: "2030-04-02-01",
          prints: new Map(
            [...prints].map(([path, print]) => [path, print.map((one) => one && scale * one)]),
          ),
        },
      });
    expect(told(1)).toEqual([]);
    // Four times as far apart they gain 8 nats each.
    expect(told(4)).toMatchObject([{ code: "order-shifted", places: "late", affected: 3 }]);
  });

  it("asks of a count that is wrong for 5 nats, and for six in ten of the returns in doubt", () => {
    // The last but one was skipped: the last return is that of the next path.
    const skipped = (step: number) => {
      const was = [0, 50, 100, 150, 150 + step];
      return doubts(was, [0, 50, 100, 150 + step], { count: "short" }).length;
    };
    // 2.5 ln(1 + d²/4) is 5 at d = 2 √(e² − 1) = 5.055.
    expect(skipped(5.04)).toBe(0);
    expect(skipped(5.07)).toBe(1);
  });

  it("asks for six in ten of the returns in doubt to fit better, for three at least", () => {
    // Paths 50 repeats apart, the first skipped: returns that fit the next path, and others that fit none
    // and gain nothing either way.
    const told = (good: number, strange: number, count?: "short" | "long") => {
      const was = Array.from({ length: good + strange + 1 }, (_, k) => 50 * k);
      const is = was.slice(1).map((value, k) => (k < good ? value : 1e5 + 50 * k));
      return doubts(was, is, count === undefined ? {} : { count });
    };
    expect(told(3, 2)).toMatchObject([{ places: "late", first: "1/mic", affected: 5 }]);
    expect(told(3, 3)).toEqual([]);
    expect(told(2, 1)).toEqual([]);
    expect(told(3, 2, "short")).toMatchObject([{ places: "late", affected: 5 }]);
    expect(told(2, 2, "short")).toEqual([]);
    expect(told(2, 1, "short")).toMatchObject([{ affected: 3 }]);
    // Of two returns it is never asked.
    expect(told(2, 0, "short")).toEqual([]);
  });

  it("tells of places that are as likely within 3 nats the first and the last", () => {
    // Strips 3 and 4 had the same level, so nobody knows which of both was skipped.
    const was = [0, 50, 100, 100, 200, 250, 300];
    const [doubt] = doubts(was, [0, 50, 100, 200, 250, 300], { count: "short" });
    expect(doubt).toMatchObject({ code: "order-shifted", places: "late" });
    expect((doubt as { between?: unknown }).between).toEqual(["3/mic", "4/mic"]);
    const [clear] = doubts([0, 50, 100, 150, 200, 250, 300], [0, 50, 100, 200, 250, 300], {
      count: "short",
    });
    expect(clear).toMatchObject({ first: "4/mic", affected: 3 });
    expect(clear).not.toHaveProperty("between");
  });

  it("takes off what the interface did to all levels", () => {
    // Level comes back within 0.3 dB: 20 repeats from path to path, and 30 that the interface did.
    const withGain = (repeats: number) =>
      computePathFingerprint({
        readings: { gain: { value: 0.3 * repeats, unit: "dB", uncertainty: 0.1 } },
        curves: {},
      });
    const own = paths(5);
    const prints = new Map(own.map(({ path }, k) => [path, withGain(20 * k)]));
    const told = (order: readonly number[]) =>
      findOrderDoubts({
        played: order.map((place, k) => ({
          ...own[k],
          file: `${Math.floor(k / 4)}.wav`,
          print: withGain(20 * place + 30),
        })),
        sheet: own,
        earlier: { round: "2030-04-02-01", prints },
      });
    expect(told([0, 1, 2, 3, 4])).toEqual([]);
    // The last but one of six was skipped, at levels of their own each.
    const levels = [0, 20, 70, 90, 160, 200];
    const six = paths(6);
    const found = findOrderDoubts({
      played: [0, 20, 70, 90, 200].map((level, k) => ({
        ...six[k],
        file: "all.wav",
        print: withGain(level + 30),
      })),
      sheet: six,
      earlier: {
        round: "2030-04-02-01",
        prints: new Map(six.map(({ path }, k) => [path, withGain(levels[k])])),
      },
      count: "short",
    });
    expect(found).toMatchObject([{ code: "order-shifted", first: "5/mic", affected: 1 }]);
  });

  it("tries of many files any two in each other's place, and of four all orders", () => {
    const was = [0, 30, 70, 120, 180, 250];
    const at = (order: readonly number[]) => order.map((k) => was[k]);
    const likelier = (order: readonly number[], files: number) => {
      const [doubt] = doubts(was.slice(0, order.length), at(order), {
        fileOf: (k) => `${Math.min(k, files - 1)}.wav`,
      });
      return doubt?.code === "files-exchanged" ? doubt.likelier : doubt?.code;
    };
    // Files of one return each, of four of which three lie in a ring.
    expect(likelier([1, 2, 0, 3], 4)).toEqual(["2.wav", "0.wav", "1.wav", "3.wav"]);
    // Two of five are 16 nats, and nothing without these two.
    expect(likelier([1, 0, 2, 3, 4], 5)).toBeUndefined();
    expect(likelier([1, 2, 0, 3, 4], 5)).toBeUndefined();
  });
});

it("files of several returns each are told by two of five in each other's place", () => {
  // Files of two returns: four returns fit another path, 32 nats, 16 of them without two.
  const files = (k: number) => `${Math.floor(k / 2)}.wav`;
  const order = [2, 3, 0, 1, 4, 5, 6, 7, 8, 9];
  const sheet10 = sheet.slice(0, 10);
  const own = order.map((place, k) => ({ ...sheet10[k], file: files(k), print: printOf(place) }));
  const found = findOrderDoubts({ played: own, sheet: sheet10, earlier });
  expect(found).toMatchObject([
    {
      code: "files-exchanged",
      likelier: ["1.wav", "0.wav", "2.wav", "3.wav", "4.wav"],
      affected: 4,
    },
  ]);
});

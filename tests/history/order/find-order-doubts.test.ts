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

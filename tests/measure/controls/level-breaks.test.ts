import { describe, expect, it } from "vitest";
import { blockS, findLevelBreaks } from "../../../src/measure/controls/level-breaks.js";
import { makeSamples } from "../../helpers/samples.js";

// Expected: worked by hand for tracks of known levels, a piece each 2 ms.

const db = (ratio: number) => 20 * Math.log10(ratio);
type Stretch = readonly [pieces: number, level: number];
/** A track of stretches: so many pieces at a level. */
const track = (...stretches: Stretch[]) =>
  Float64Array.from(stretches.flatMap(([pieces, level]) => Array(pieces).fill(level)));
const turned = (...stretches: Stretch[]) => findLevelBreaks(track(...stretches), 1, "turn");
const pressed = (...stretches: Stretch[]) => findLevelBreaks(track(...stretches), 1, "press");

describe("findLevelBreaks", () => {
  it("finds nothing in a steady level, nor in one that a hand moves", () => {
    expect(turned([200, 1])).toEqual([]);
    // 60 dB in half a second: 0.24 dB a piece
    const slide = makeSamples(200, (k) => 10 ** ((-0.24 * k) / 20));
    expect(findLevelBreaks(slide, 1, "slide")).toEqual([]);
  });

  it("finds a dropout with its beginning, length and depth", () => {
    const [one, ...others] = turned([50, 1], [10, 0.1], [50, 1]);
    expect(others).toEqual([]);
    expect(one).toMatchObject({ kind: "dropout", levelDb: expect.closeTo(-20, 9) });
    // from three pieces before the first that is low, to the first that is back
    expect(one).toMatchObject({ at: 47, length: 13 });
  });

  it("tells the deepest of a dropout, down to 60 dB", () => {
    expect(turned([50, 1], [4, 0.3], [4, 0.2], [50, 1])[0].levelDb).toBeCloseTo(db(0.2), 9);
    expect(turned([50, 1], [8, 1e-5], [50, 1])[0].levelDb).toBe(-60);
  });

  it("counts a change of more than a quarter within 6 ms", () => {
    expect(turned([50, 1], [10, 0.76], [50, 1])).toEqual([]);
    expect(turned([50, 1], [10, 0.74], [50, 1])).toHaveLength(1);
  });

  it("takes for a jump what does not come back within 150 ms", () => {
    const down = turned([50, 1], [100, 0.5]);
    expect(down).toMatchObject([{ kind: "jump", at: 47, length: 0 }]);
    expect(down[0].levelDb).toBeCloseTo(db(0.5), 9);
    const up = turned([50, 0.5], [100, 1]);
    expect(up).toMatchObject([{ kind: "jump", at: 47, levelDb: expect.closeTo(db(2), 9) }]);
    const most = Math.round(0.15 / blockS);
    expect(turned([50, 1], [most - 4, 0.3], [80, 1])[0].kind).toBe("dropout");
    expect(turned([50, 1], [most + 4, 0.3], [80, 1]).map(({ kind }) => kind)).toEqual([
      "jump",
      "jump",
    ]);
  });

  it("takes for back what has three quarters of the level before", () => {
    expect(turned([50, 1], [10, 0.3], [80, 0.76])[0].kind).toBe("dropout");
    expect(turned([50, 1], [10, 0.3], [80, 0.74])[0].kind).toBe("jump");
  });

  it("looks no further down than 15 % of the mark", () => {
    expect(turned([50, 0.16], [10, 0.01], [50, 0.16])).toHaveLength(1);
    expect(turned([50, 0.14], [10, 0.01], [50, 0.14])).toEqual([]);
  });

  it("grants a switch its jumps, and 20 ms of bouncing", () => {
    expect(pressed([50, 1], [100, 0.3])).toEqual([]);
    expect(pressed([50, 0.3], [100, 1])).toEqual([]);
    // 6 low pieces and the three before: 18 ms; 7 and 3: 20 ms
    expect(pressed([50, 1], [6, 0.1], [50, 1])).toEqual([]);
    expect(pressed([50, 1], [7, 0.1], [50, 1])).toHaveLength(1);
    expect(turned([50, 1], [6, 0.1], [50, 1])).toHaveLength(1);
  });

  it("counts each of several once", () => {
    const three = turned([50, 1], [8, 0.1], [40, 1], [8, 0.2], [40, 1], [80, 0.4]);
    expect(three.map(({ kind }) => kind)).toEqual(["dropout", "dropout", "jump"]);
    expect(three.map(({ at }) => at)).toEqual([47, 95, 143]);
  });

  it("says of a jump what it settles at", () => {
    const [one] = turned([50, 1], [1, 0.7], [1, 0.5], [100, 0.4]);
    expect(one.levelDb).toBeCloseTo(db(0.4), 9);
  });

  it("of a level out of nothing is at most 60 dB", () => {
    const [one] = turned([50, 0], [100, 10]);
    expect(one).toMatchObject({ kind: "jump", levelDb: expect.closeTo(db(10 / 0.015), 9) });
    expect(turned([50, 0], [100, 500])[0].levelDb).toBe(60);
  });

  it("goes by the level at the mark and before, whatever they are", () => {
    const found = (mark: number, ...stretches: Stretch[]) =>
      findLevelBreaks(track(...stretches), mark, "turn");
    // 15 % of 0.5 are 0.075, of 4 they are 0.6.
    expect(found(0.5, [50, 0.08], [10, 0.01], [50, 0.08])).toHaveLength(1);
    expect(found(0.5, [50, 0.07], [10, 0.01], [50, 0.07])).toEqual([]);
    expect(found(4, [50, 0.5], [10, 0.01], [50, 0.5])).toEqual([]);
    expect(found(1, [50, 0.15], [10, 0.01], [50, 0.15])).toHaveLength(1);
    // 0.05 of 0.5 is a tenth.
    expect(found(0.5, [50, 0.5], [10, 0.05], [50, 0.5])[0].levelDb).toBeCloseTo(-20, 9);
    // Out of nothing a jump begins at 1.5 % of the mark.
    expect(found(0.5, [50, 0], [100, 0.5])[0].levelDb).toBeCloseTo(db(0.5 / 0.0075), 9);
  });

  it("takes exactly a quarter for slow, and exactly three quarters for back", () => {
    expect(turned([50, 1], [10, 0.75], [50, 1])).toEqual([]);
    expect(turned([50, 1], [10, 0.3], [80, 0.75])[0].kind).toBe("dropout");
    // 75 pieces are 150 ms, three of them before the first that is low.
    expect(turned([50, 1], [72, 0.3], [80, 1])).toMatchObject([{ kind: "dropout", length: 75 }]);
    expect(turned([50, 1], [73, 0.3], [80, 1])[0].kind).toBe("jump");
  });

  it("of a jump is where the level changes by less than 5 % a piece", () => {
    const falling = (factor: number, pieces: number, from: number): Stretch[] =>
      Array.from({ length: pieces }, (_, k) => [1, from * factor ** k]);
    expect(turned([50, 1], ...falling(0.97, 20, 0.4))[0].levelDb).toBeCloseTo(db(0.4), 9);
    expect(turned([50, 1], [1, 0.4], [50, 0.36])[0].levelDb).toBeCloseTo(db(0.36), 9);
    // 5.15 % up are 4.9 % of the larger.
    expect(turned([50, 0.5], [1, 1], [50, 1.0515])[0].levelDb).toBeCloseTo(db(2), 9);
    // Ten pieces after the first that is low at most: 0.9³ is that.
    expect(turned([50, 1], ...falling(0.9, 25, 0.9))[0]).toMatchObject({
      at: 49,
      levelDb: expect.closeTo(db(0.9 ** 13), 9),
    });
    // It may be the last of all.
    expect(turned([50, 1], [1, 0.7], [1, 0.5], [1, 0.4])).toEqual([
      { kind: "jump", at: 47, length: 0, levelDb: expect.closeTo(db(0.4), 9) },
    ]);
  });
});

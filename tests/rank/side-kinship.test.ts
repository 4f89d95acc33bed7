import { describe, expect, it, test } from "vitest";
import type { Reading } from "../../src/measure/types.js";
import { compareSideScatter } from "../../src/rank/side-kinship.js";
import { createRng, gaussian } from "../../src/simulate/rng.js";
import { measurement, reading } from "../helpers/families.js";

// Expected: deviations of one part seen twice have the correlation 1, those of two parts 0.

const ids = ["hiss", "thd", "thd100", "thdHot", "imd", "noiseSlope"];

function sides(share: number, count = 12) {
  const rng = createRng("kinship");
  return Array.from({ length: count }, (_, k) => {
    const common = ids.map(() => gaussian(rng));
    const side = (name: string) => ({
      path: `${k}/line${name}`,
      measurement: measurement(
        Object.fromEntries(
          ids.map((id, i) => [
            id,
            reading(-90 + Math.sqrt(share) * common[i] + Math.sqrt(1 - share) * gaussian(rng)),
          ]),
        ),
      ),
    });
    return { first: side(""), second: side(", right side") };
  });
}

it("sides of one signal scatter alike", () => {
  expect(compareSideScatter(sides(0.95))).toBe("one");
});

it("sides of two strips do not", () => {
  expect(compareSideScatter(sides(0))).toBe("two");
});

it("what is between, and few paths, tell nothing", () => {
  expect(compareSideScatter(sides(0.45))).toBeUndefined();
  expect(compareSideScatter(sides(0.95, 4))).toBeUndefined();
});

it("what scatters no more than it is uncertain tells nothing", () => {
  const all = sides(0.95);
  const wide = ({ path, measurement: { readings, ...rest } }: (typeof all)[number]["first"]) => ({
    path,
    measurement: {
      ...rest,
      readings: Object.fromEntries(
        Object.entries(readings).map(([id, one]) => [id, { ...one, uncertainty: 2 }]),
      ),
    },
  });
  const vague = (first: boolean, second: boolean) =>
    compareSideScatter(
      all.map((one) => ({
        first: first ? wide(one.first) : one.first,
        second: second ? wide(one.second) : one.second,
      })),
    );
  expect(vague(false, false)).toBe("one");
  expect(vague(true, true)).toBeUndefined();
  // One vague side hides what both have in common as well as two do.
  expect(vague(false, true)).toBeUndefined();
  expect(vague(true, false)).toBeUndefined();
});

describe("sides worked out by hand", () => {
  // Deviations of −1, 0, 1 and 0 scatters, over and over: sides that have the same have the correlation
  // 1, opposite ones −1, and ones of which each goes where the other stays 0.
  const here = [-1, 0, 1, 0];
  const there = [0, -1, 0, 1];
  type Values = Readonly<Record<string, readonly number[]>>;

  const pairs = (first: Values, second: Values, count = 8, more: Partial<Reading> = {}) =>
    Array.from({ length: count }, (_, k) => {
      const side = (name: string, values: Values) => ({
        path: `${k}/line${name}`,
        measurement: measurement(
          Object.fromEntries(
            Object.entries(values)
              .filter(([, own]) => !Number.isNaN(own[k % own.length]))
              .map(([id, own]) => [id, { ...reading(-90 + own[k % own.length]), ...more }]),
          ),
        ),
      });
      return { first: side("", first), second: side(", right side", second) };
    });
  const all = (ids: readonly string[], own: readonly number[]): Values =>
    Object.fromEntries(ids.map((id) => [id, own]));
  const three = ["hiss", "thd", "imd"];
  const judged = (ids: readonly string[], second = here, count = 8, more: Partial<Reading> = {}) =>
    compareSideScatter(pairs(all(ids, here), all(ids, second), count, more));
  const opposite = here.map((one) => -one);

  test("are of one signal where they go together, of two where they do not", () => {
    expect(judged(three)).toBe("one");
    expect(judged(three, opposite)).toBe("two");
    expect(judged(three, there)).toBe("two");
    // Two readings together, one against: a third.
    const mixed = { ...all(three, here), hiss: opposite };
    expect(compareSideScatter(pairs(all(three, here), mixed))).toBeUndefined();
  });

  test("are of one signal whatever their units are: each counts by its own scatter", () => {
    // A reading that scatters by a hundredth and one by a hundred.
    const scaled: Values = {
      hiss: here,
      thd: here.map((x) => x / 5),
      imd: here.map((x) => 100 * x),
    };
    expect(compareSideScatter(pairs(scaled, scaled))).toBe("one");
    const wide = { hiss: here.map((x) => 100 * x), thd: here.map((x) => 100 * x) };
    const both = { ...all(["imd", "thd100", "thdHot"], here), ...wide };
    const turned = { ...both, hiss: wide.hiss.map((x) => -x), thd: wide.thd.map((x) => -x) };
    // Three of five together and two against: a fifth, though the two are a hundred times as far apart.
    expect(compareSideScatter(pairs(both, turned))).toBe("two");
  });

  test("are known from twenty readings of five paths on", () => {
    // Three readings of seven paths are 21, and of six are 18; four of five are 20.
    expect([judged(three, here, 7), judged(three, here, 6)]).toStrictEqual(["one", undefined]);
    expect(judged([...three, "thd100"], here, 5)).toBe("one");
    expect(judged([...three, "thd100", "thdHot"], here, 4)).toBeUndefined();
    const five = [...three, "thd100", "thdHot"];
    expect(judged(five, here, 4)).toBeUndefined();
  });

  test("are not told by what a knob sets, nor by readings of two values", () => {
    expect(judged(["gain", "level"], here, 12)).toBeUndefined();
    expect(judged(["polarity", "polarity"], here, 24)).toBeUndefined();
  });

  test("are not told by bounds on either side", () => {
    const bound = { bound: "upper" as const };
    expect(judged(three, here, 8, bound)).toBeUndefined();
    const sound = pairs(all(three, here), all(three, here));
    const hidden = pairs(all(three, here), all(three, here), 8, bound);
    const mixed = (a: typeof sound, b: typeof sound) =>
      compareSideScatter(a.map(({ first }, k) => ({ first, second: b[k].second })));
    expect([mixed(sound, hidden), mixed(hidden, sound)]).toStrictEqual([undefined, undefined]);
    expect(mixed(sound, sound)).toBe("one");
  });

  test("are not told by what does not scatter, or one side lacks", () => {
    expect(judged(three, [0])).toBeUndefined();
    expect(compareSideScatter(pairs(all(three, [0]), all(three, here)))).toBeUndefined();
    expect(compareSideScatter(pairs(all(three, here), {}))).toBeUndefined();
    expect(compareSideScatter(pairs({}, all(three, here)))).toBeUndefined();
    // Without two of its paths a reading has six: eighteen of three.
    const gaps = [...here, ...here];
    gaps[0] = Number.NaN;
    gaps[5] = Number.NaN;
    expect(compareSideScatter(pairs(all(three, gaps), all(three, here)))).toBeUndefined();
    expect(compareSideScatter(pairs(all(three, here), all(three, gaps)))).toBeUndefined();
    expect(
      compareSideScatter(pairs(all([...three, "thd100"], gaps), all([...three, "thd100"], here))),
    ).toBe("one");
  });

  test("count a deviation for no more than two scatters: a fault is none", () => {
    // Twelve paths that go against each other, of which one is a thousand off on both sides.
    const ramp = Array.from({ length: 12 }, (_, k) => ((7 * k) % 12) - 5.5);
    const with1000 = (own: readonly number[], fault: number) => [fault, ...own.slice(1)];
    const turned = ramp.map((x) => -x);
    for (const fault of [1000, -1000]) {
      const [a, b] = [with1000(ramp, fault), with1000(turned, fault)];
      expect(compareSideScatter(pairs(all(three, a), all(three, b), 12))).toBe("two");
    }
  });

  test("tell by readings that scatter by more than one and a half of their uncertainty", () => {
    // Qn of eight values −1, 0, 1, 0 twice: h = 5, the tenth of 28 distances sorted is 1 (6 + 2 of them
    // are 0), 2.2219 · 0.67 for eight values: a scatter of 1.49, so 0.99 of 95 %.
    expect(judged(three, here, 8, { uncertainty: 0.98 })).toBe("one");
    expect(judged(three, here, 8, { uncertainty: 1.0 })).toBeUndefined();
  });
});

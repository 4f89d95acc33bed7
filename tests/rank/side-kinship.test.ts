import { expect, it } from "vitest";
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

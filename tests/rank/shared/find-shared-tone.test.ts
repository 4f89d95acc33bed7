import { expect, test } from "vitest";
import type { Reading } from "../../../src/measure/types.js";
import { findSharedTone } from "../../../src/rank/shared/find-shared-tone.js";
import { measurement, reading } from "../../helpers/families.js";

// Expected: half of the noise's power is 3.01 dB below it; most of the paths, within one per cent.

type Values = Readonly<Record<"hiss" | "strayTone" | "strayToneHz", number>>;
const noise: Values = { hiss: -60, strayTone: -60, strayToneHz: 8000 };

function path(
  values: Partial<Values>,
  without: readonly string[] = [],
  tone: Partial<Reading> = {},
) {
  const { hiss, strayTone, strayToneHz } = { ...noise, ...values };
  const readings = {
    hiss: reading(hiss, "dBFS"),
    strayTone: { ...reading(strayTone, "dBFS"), ...tone },
    strayToneHz: reading(strayToneHz, "Hz"),
  };
  const kept = Object.entries(readings).filter(([id]) => !without.includes(id));
  return { path: "7/mic", family: "mic", measurement: measurement(Object.fromEntries(kept)) };
}
const bare = { path: "8/mic", family: "mic" };

test.each([
  ["half of the power", path({ strayTone: -63.01 }), 8000],
  ["less", path({ strayTone: -63.02 }), undefined],
  ["the lowest frequency of noise readings", path({ strayToneHz: 22.4 }), 22.4],
  ["one below", path({ strayToneHz: 22.3 }), undefined],
  ["the highest", path({ strayToneHz: 22_400 }), 22_400],
  ["one above", path({ strayToneHz: 22_401 }), undefined],
  ["a bound", path({}, [], { bound: "upper" }), undefined],
  ["no hiss", path({}, ["hiss"]), undefined],
  ["no tone", path({}, ["strayTone"]), undefined],
  ["no frequency", path({}, ["strayToneHz"]), undefined],
  ["nothing measured", bare, undefined],
])("a single path's noise: %s", (_, one, expected) => {
  expect(findSharedTone([one])).toBe(expected);
});

test("is shared by more than half of the paths", () => {
  const other = path({}, ["hiss"]);
  expect(findSharedTone([path({}), other])).toBeUndefined();
  expect(findSharedTone([path({}), bare])).toBeUndefined();
  expect(findSharedTone([path({}), path({}), other])).toBe(8000);
  expect(findSharedTone([path({}), path({}), bare])).toBe(8000);
});

test("is of one frequency, within one per cent of the middle", () => {
  const at = (...hertz: readonly number[]) =>
    findSharedTone(hertz.map((strayToneHz) => path({ strayToneHz })));
  expect(at(7920, 8000, 8080)).toBe(8000);
  expect(at(7919, 8000, 8081)).toBeUndefined();
  expect(at(7000, 8000, 8080)).toBe(8000);
  expect(at(7919, 8000, 9000)).toBeUndefined();
  expect(findSharedTone([])).toBeUndefined();
});

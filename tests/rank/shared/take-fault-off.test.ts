import { describe, expect, test } from "vitest";
import type { Row } from "../../../src/rank/shared/rows.js";
import type { MovedRow } from "../../../src/rank/shared/score-candidate.js";
import { takeFaultOff } from "../../../src/rank/shared/take-fault-off.js";
import type { PlacedInput, SharedAspect, SharedPart } from "../../../src/rank/shared/types.js";
import { measurement, reading } from "../../helpers/families.js";

// Expected: what was added to the readings of the paths in the set is gone, and nothing else.

const path = (name: string, gain?: number): PlacedInput => {
  const [strip, input] = name.split("/");
  const own = { path: name, strip, input, family: input };
  return gain === undefined ? own : { ...own, measurement: measurement({ gain: reading(gain) }) };
};
const gainsOf = (inputs: readonly PlacedInput[]) =>
  inputs.map(({ measurement: own }) => own?.readings.gain.value);
const movedBy = (aspect: SharedAspect, deviation: number): MovedRow => ({
  row: { reading: "gain", aspect } as Row,
  family: "mic",
  inside: deviation,
  outside: 0,
  deviation,
  nats: 1,
  showing: [],
});

const ribbon: SharedPart = { kind: "ribbon", name: "A" };
const level: SharedPart = { kind: "level" };
const off = (
  inputs: readonly PlacedInput[],
  members: readonly string[],
  part = ribbon,
  moved: readonly MovedRow[] = [],
  through: { readonly isThrough?: true } = {},
) =>
  takeFaultOff(inputs, {
    candidate: { part, members: new Set(members), logPrior: 0, ...through },
    moved,
  });

const strips = ["1", "2", "3", "4", "5", "6"];
const family = (input: string, gains: readonly number[]) =>
  gains.map((gain, k) => path(`${strips[k]}/${input}`, gain));
const three = (input: string) => ["1", "2", "3"].map((strip) => `${strip}/${input}`);

test("each family has its own share, and paths outside the set keep what they have", () => {
  const mic = family("mic", [-6, -6, -6, 0, 0, 0]);
  const line = family("line", [6, 4, 4, 1, 1, 1]);
  const left = off([...mic, ...line], [...three("mic"), ...three("line")]);
  expect(gainsOf(left)).toStrictEqual([0, 0, 0, 0, 0, 0, 3, 1, 1, 1, 1, 1]);
  expect(left.slice(3, 6)).toStrictEqual(mic.slice(3));
  expect(left.map(({ path: name }) => name)).toStrictEqual(
    [...mic, ...line].map((one) => one.path),
  );
});

describe("a family that lies in the set as a whole", () => {
  const mic = family("mic", [0, 0, 0, -4, -4, -4]);
  const line = family("line", [-3, -3, -3, -3, -3, -3]);
  const members = [...mic.slice(3), ...line].map((one) => one.path);

  test("has the step of a touched level taken off, as the others show it", () => {
    const moved = [movedBy("noise", -9), movedBy("level", -4)];
    const left = off([...mic, ...line], members, level, moved);
    expect(gainsOf(left)).toStrictEqual([0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1]);
    const first = { gain: reading(0), level: { ...reading(-22, "dBFS"), uncertainty: 0.02 } };
    const loud: PlacedInput = { ...path("1/line"), measurement: measurement(first) };
    const [shifted] = off([loud], ["1/line"], level, moved);
    expect(shifted.measurement?.readings.level).toStrictEqual(reading(-18, "dBFS", 0.02));
  });

  test("is left alone where the level did not move, or a part is the cause", () => {
    expect(off(line, members, level, [movedBy("noise", -4)])).toStrictEqual(line);
    expect(off(line, members, ribbon, [movedBy("level", -4)])).toStrictEqual(line);
  });
});

test("an output takes the same from every input, one of which has a fault besides", () => {
  const mic = family("mic", [-10, -4, 0, 0, 0]);
  const line = family("line", [-4, -4, 0, 0, 0]);
  const two = [...mic, ...line].flatMap(({ path: name, strip }) =>
    Number(strip) < 3 ? [name] : [],
  );
  const output: SharedPart = { kind: "output", name: "output 1" };
  const left = off([...mic, ...line], two, output, [], { isThrough: true });
  expect(gainsOf(left)).toStrictEqual([-6, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
});

describe("a path of the set that is silent", () => {
  const silent: PlacedInput = { ...path("1/mic"), unheard: { code: "silence", peakDbfs: -90 } };
  const others = family("mic", [0, 0, 0, 0, 0, 0]).slice(1);
  const first = (one: PlacedInput, moved: readonly MovedRow[], members = three("mic")) =>
    off([one, ...others], members, ribbon, moved)[0];
  const dead = movedBy("dead", 1);
  const quiet = movedBy("level", -9);

  test("says nothing of itself where the shared part is dead", () => {
    const { unheard: _, ...rest } = silent;
    expect(first(silent, [dead])).toStrictEqual(rest);
    expect(first(silent, [quiet, dead])).toStrictEqual(rest);
  });

  test("stays silent where the part only lost level, or loud sound was recorded, or it has no such part", () => {
    expect(first(silent, [quiet])).toBe(silent);
    expect(first(silent, [])).toBe(silent);
    const loud = { levelDbfs: -2, crestDb: 3, clippedShare: 0 };
    const drowned = { ...silent, loud };
    expect(first(drowned, [dead])).toBe(drowned);
    expect(first(silent, [dead], ["2/mic", "3/mic"])).toBe(silent);
  });
});

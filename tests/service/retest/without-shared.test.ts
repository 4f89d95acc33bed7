import { expect, test } from "vitest";
import type { RoundShared } from "../../../src/history/types.js";
import type { Outcome } from "../../../src/service/retest/types.js";
import { takeOffShared } from "../../../src/service/retest/without-shared.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: strips 1 to 3 had 4 dB less than their siblings because of a part that they share. Without
// its share all had 0 dB then, and have now 4 dB more than was read, unless the part is repaired.

const fault = (against: string, paths = ["1/mic", "2/mic", "3/mic"]) =>
  ({ paths, findings: [], against }) as unknown as RoundShared;
const of = (gains: readonly number[], id?: string) =>
  round(
    gains.map((gain, k) => path({ path: `${k + 1}/mic`, readings: { gain: reading(gain) } })),
    id,
  );
const then = [-4, -4, -4, 0, 0, 0];

function gains(
  shared: readonly RoundShared[],
  outcomes: readonly { fault: RoundShared; outcome: Outcome }[],
  now: readonly number[],
) {
  const base = { ...of(then), ...(shared.length > 0 && { shared }) };
  const rounds = takeOffShared({ base, round: of(now, "2031-06-01-01") }, outcomes);
  return [rounds.base, rounds.round].map(({ paths }) =>
    paths.map(({ readings }) => readings.gain.value),
  );
}

test("a shared fault is taken off the round that found it, and off the other if it is there", () => {
  const feed = fault("siblings");
  const still = [-4, -3, -4, 0, 1, 0];
  const sound = [0, 0, 0, 0, 0, 0];
  for (const outcome of ["unchanged", "better", "worse", "cannot tell"] as const) {
    expect(gains([feed], [{ fault: feed, outcome }], still)).toStrictEqual([
      sound,
      [0, 1, 0, 0, 1, 0],
    ]);
  }
  expect(gains([feed], [{ fault: feed, outcome: "mended" }], [0, 0, 1, 0, 0, 0])).toStrictEqual([
    sound,
    [0, 0, 1, 0, 0, 0],
  ]);
  // It was not judged, or another one was repaired.
  expect(gains([feed], [], still)).toStrictEqual([sound, [0, 1, 0, 0, 1, 0]]);
  expect(gains([feed], [{ fault: fault("siblings"), outcome: "mended" }], still)).toStrictEqual([
    sound,
    [0, 1, 0, 0, 1, 0],
  ]);
});

test("only what was found against siblings is taken off", () => {
  expect(gains([], [], then)).toStrictEqual([then, then]);
  for (const against of ["expectation", "baseline"]) {
    expect(gains([fault(against)], [], then)).toStrictEqual([then, then]);
  }
});

import { expect, test } from "vitest";
import { listOwnBreaks } from "../../../src/measure/integrity/own-breaks.js";
import type { ReturnContext } from "../../../src/measure/return-context-types.js";
import { sine, smallReturn } from "./small-returns.js";

// Expected: a tone of 0.4 s that is followed up to 15 ms before its end, and samples that the recorder
// held just before or behind the break of its level: within 20 ms nothing is said of the desk.

const rate = 16_000;

/** A tone that is halved between two times, and 6 ms held from another on. */
function breaksOf(from: number, until: number, heldAtS?: number) {
  const tone = sine(500);
  const audio = smallReturn(
    [
      { kind: "silence", name: "silence", startS: 0, lengthS: 0.4 },
      {
        ...{ kind: "tone", name: "tone-500", startS: 0.4, lengthS: 0.4, frequencyHz: 500 },
        sound: (s: number) => (s >= from && s < until ? 0.5 : 1) * tone(s),
      },
      { kind: "silence", name: "end", startS: 0.8, lengthS: 0.2 },
    ] as never,
    { rate, noise: 1e-4, origin: 160 },
  );
  if (heldAtS !== undefined) {
    const at = Math.round(160 + heldAtS * rate);
    audio.samples.fill(audio.samples[at], at, at + 96);
  }
  const absent = { absent: { code: "no-tone", hz: 1000 } };
  const context = { audio, tone: () => absent, sweep: () => absent };
  return listOwnBreaks(context as unknown as ReturnContext);
}

test("a break that nothing was lost beside is the path's", () => {
  expect(breaksOf(0.2, 0.24)).toEqual([
    {
      kind: "level-break",
      segment: "tone-500",
      atS: expect.closeTo(0.6, 2),
      untilS: expect.closeTo(0.64, 2),
      // Half the amplitude.
      levelDb: expect.closeTo(-6.02, 1),
    },
  ]);
  expect(breaksOf(2, 3)).toEqual([]);
  expect(breaksOf(2, 3, 0.9)).toEqual([]);
});

test("one that ends less than 20 ms before lost samples is not", () => {
  // Followed up to 0.782 s at most; the last whole piece of 4 ms may end 4 ms earlier.
  expect(breaksOf(0.3, 0.5, 0.81)).toHaveLength(1);
  expect(breaksOf(0.3, 0.5, 0.9)).toHaveLength(1);
  expect(breaksOf(0.3, 0.5, 0.8)).toEqual([]);
});

test("nor is one that begins less than 20 ms behind them", () => {
  // Held from 0.374 s for 6 ms, or 0.396 s: the break is seen from 0.43 s on.
  expect(breaksOf(0, 0.06, 0.374)).toHaveLength(1);
  expect(breaksOf(0, 0.06, 0.409)).toEqual([]);
});

test("nor is one that lost samples lie within", () => {
  expect(breaksOf(0.1, 0.3, 0.6)).toEqual([]);
});

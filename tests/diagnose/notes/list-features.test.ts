import { expect, it } from "vitest";
import { listContexts } from "../../../src/diagnose/notes/list-contexts.js";
import { listFeatures } from "../../../src/diagnose/notes/list-features.js";

// Worked out by hand from what the functions promise.

/** Shares of features, scaled to a length of 2. */
const scaled = (shares: Readonly<Record<string, number>>) => {
  const size = Math.hypot(...Object.values(shares));
  return Object.entries(shares).map(([one, share]) => [
    one,
    expect.closeTo((2 * share) / size, 12),
  ]);
};

it.each<readonly [note: string, shares: Readonly<Record<string, number>>]>([
  ["", {}],
  ["hum", { hum: 1 }],
  [" hum  on ", { hum: 1, on: 1, "hum on": 0.7 }],
  // Letters in fours and fives, with the word's ends, from words of four letters on.
  ["buzz", { buzz: 1, "~^buz": 0.4, "~buzz": 0.4, "~uzz$": 0.4, "~^buzz": 0.4, "~buzz$": 0.4 }],
  ["hum hum on", { hum: 1, on: 1, "hum hum": 0.7, "hum on": 0.7 }],
  // Numbers are alike, names with figures are not.
  ["50 2p5 a1", { "#": 1, a1: 1, "# #": 0.7, "# a1": 0.7 }],
])("features of %j", (note, shares) => {
  expect([...listFeatures(note)].sort()).toEqual(scaled(shares).sort());
});

it.each<readonly [note: string, shares: Readonly<Record<string, number>>]>([
  ["", {}],
  ["the hum", { "A:hum": 0.5 }],
  // Each word with the next two, fillers and commas aside; before and after the first comma.
  [
    "hum on the mic , and fader 50",
    {
      hum_mic: 0.5,
      hum_and: 0.5,
      mic_and: 0.5,
      mic_fader: 0.5,
      and_fader: 0.5,
      "and_#": 0.5,
      "fader_#": 0.5,
      "A:hum": 0.5,
      "A:mic": 0.5,
      "B:and": 0.5,
      "B:fader": 0.5,
      "B:#": 0.5,
    },
  ],
  // What is denied: four words that are no fillers, and none after a comma.
  [
    "no hum , buzz",
    {
      no_hum: 0.5,
      no_buzz: 0.5,
      hum_buzz: 0.5,
      "A:no": 0.5,
      "A:hum": 0.5,
      "B:buzz": 0.5,
      "N:hum": 0.7,
    },
  ],
])("contexts of %j", (note, shares) => {
  expect([...listContexts(note)].sort()).toEqual(Object.entries(shares).sort());
});

it("a denial covers four words, and begins again with the next", () => {
  const denied = (note: string) =>
    [...listContexts(note).keys()].filter((one) => one.startsWith("N:")).map((one) => one.slice(2));
  expect(denied("not a b1 the c1 d1 e1 f1 g1")).toEqual(["b1", "c1", "d1", "e1"]);
  expect(denied("no b1 c1 d1 without e1 f1")).toEqual(["b1", "c1", "d1", "e1", "f1"]);
  expect(denied("b1 c1")).toEqual([]);
});

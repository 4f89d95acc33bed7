import { expect, it } from "vitest";
import type { Control } from "../../../src/diagnose/note-vocabulary.js";
import { readLoosely } from "../../../src/diagnose/notes/read-loosely.js";

// What a service engineer would take the words for: common practice of the trade, no source.

/** A clause whose control stands between brackets. */
function read(marked: string, is?: Control) {
  const start = marked.indexOf("[");
  const end = marked.indexOf("]") - 1;
  const clause = marked.replace(/[[\]]/g, "");
  return readLoosely(clause, is === undefined ? undefined : { is, start, end });
}

it.each([
  // A lamp that is broken, bad or out is dark, a knob that is bad is not said to be dead.
  ["lamp", "the [lamp] is useless", "dark"],
  ["lamp", "the [lamp] is bad", "dark"],
  ["lamp", "the [lamp] is weak", "dark"],
  ["fader", "the [fader] is weak", undefined],
  ["fader", "the [fader] is useless", "dead"],
  ["pad", "the [pad] makes no difference", "dead"],
  ["equaliser", "did the [eq] ever work", "dead"],
  ["fader", "the [fader] is now gone", "dead"],
  ["fader", "it is gone from the [fader]", undefined],
  ["socket", "the [socket] dances", "loose"],
  ["fader", "the [fader] dances", undefined],
  ["fader", "the [fader] hangs by a wire", "loose"],
  ["meter", "the [meter] is pegged", "stuck"],
  ["gain", "the [gain] is sluggish", "stuck"],
  ["pan", "the [pan] is only on the left", "dead"],
  ["fader", "at the [fader] the level jumps suddenly", "unsteady"],
  ["pad", "the [pad] doesnt attenuate", "dead"],
  ["pad", "it doesnt attenuate with the [pad]", undefined],
  ["solo", "the [solo] is not soloing", "dead"],
  ["insert", "the [insert] sounds like a bee", "buzz"],
  ["insert", "lacks bass at the [insert]", "thin"],
  ["insert", "lacks cymbals at the [insert]", "dull"],
  // The bass of an equaliser is its band, and a meter that shows the same is in order.
  ["equaliser", "lacks bass at the [eq]", undefined],
  ["fader", "lacks cymbals at the [fader]", undefined],
  ["pad", "the [pad] sounds the same", "dead"],
  ["meter", "the [meter] stays the same", undefined],
] as const)("of %s %j is %s", (is, clause, symptom) => {
  expect(read(clause, is)).toBe(symptom);
});

it.each([
  ["sounds like a bee in a jar", "buzz"],
  ["the low notes vanish", "thin"],
  ["the low notes are nice", undefined],
  ["cymbals vanish", "dull"],
  ["cymbals are nice", undefined],
  // One word is not both the part of the range and its loss.
  ["low", undefined],
  ["only on the left", "dead"],
  ["the level jumps suddenly", "unsteady"],
  ["it is useless", "dead"],
  ["the button never buttons", "dead"],
  ["did it ever work", "dead"],
  ["it is bad", undefined],
  ["talks into the next one", "crosstalk"],
] as const)("without a control %j is %s", (clause, symptom) => {
  expect(read(clause)).toBe(symptom);
});

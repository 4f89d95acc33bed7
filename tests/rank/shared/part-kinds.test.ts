import { describe, expect, test } from "vitest";
import { aspectFacets, isMovedByLevel } from "../../../src/rank/shared/aspect-facets.js";
import { getReadiness, isEqualOnInputs } from "../../../src/rank/shared/part-kinds.js";
import {
  type SharedAspect,
  type SharedPartKind,
  sharedPartKinds,
} from "../../../src/rank/shared/types.js";

const aspects = Object.keys(aspectFacets) as SharedAspect[];

describe("how readily a part causes an aspect", () => {
  test.each(sharedPartKinds)(
    "is counted from what it causes most readily: none above, one at it (%s)",
    (kind) => {
      const all = aspects.map((aspect) => getReadiness(kind, aspect));
      expect(Math.max(...all)).toBe(0);
    },
  );

  test("differs where something is known of the part, and nowhere else", () => {
    const differing = sharedPartKinds.filter(
      (kind) => new Set(aspects.map((aspect) => getReadiness(kind, aspect))).size > 1,
    );
    expect(differing).toStrictEqual(["supply", "ribbon", "bus", "group", "output"]);
  });

  test("is the same for a bus of some strips as for a group", () => {
    for (const aspect of aspects) {
      expect(getReadiness("bus", aspect)).toBe(getReadiness("group", aspect));
    }
  });

  test.each([
    // A supply carries ripple and limits the swing; a contact loses level and no bass.
    ["supply", "hum-even", "noise"],
    ["supply", "clipping", "hum-odd"],
    ["supply", "noise", "polarity"],
    ["ribbon", "level", "bass"],
    ["ribbon", "hum-odd", "hum-even"],
    ["group", "noise", "clipping"],
    ["group", "clipping", "polarity"],
    ["output", "polarity", "noise"],
    ["output", "noise", "hum-even"],
  ] as const)("%s: %s before %s", (kind, more, less) => {
    expect(getReadiness(kind, more)).toBeGreaterThan(getReadiness(kind, less));
  });
});

describe("the same power on every input of a strip", () => {
  test.each([
    // After the point where inputs join, for what adds to the signal.
    ["group", "noise", true],
    ["bus", "hum-even", true],
    ["master", "distortion", true],
    ["supply", "noise", false],
    ["ribbon", "hum-odd", false],
    ["group", "level", false],
    ["group", "clipping", false],
  ] as const satisfies readonly (readonly [SharedPartKind, SharedAspect, boolean])[])(
    "%s, %s: %s",
    (kind, aspect, expected) => {
      expect(isEqualOnInputs(kind, aspect)).toBe(expected);
    },
  );
});

test("a level setting moves the level and every floor, and nothing relative to the tone", () => {
  expect(aspects.filter(isMovedByLevel).sort()).toStrictEqual([
    "hum-even",
    "hum-odd",
    "level",
    "noise",
  ]);
});

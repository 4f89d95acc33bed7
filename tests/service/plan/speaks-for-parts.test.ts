import { describe, expect, it } from "vitest";
import type { NotedFault } from "../../../src/diagnose/notes/noted-fault.js";
import { interpretNote } from "../../../src/service/plan/interpret-note.js";
import { speaksForParts } from "../../../src/service/plan/speaks-for-parts.js";

const isOrdered = (text: string) =>
  interpretNote({
    line: { note: 1, id: "n1", date: "2031-03-14T12:00:00Z", kind: "fault", strip: "7", text },
  }).faults.some(({ isSure }) => isSure);

// What a service engineer would order a part for (common practice, no source).
describe("speaksForParts", () => {
  it.each([
    "fader scratchy",
    "pan scratchy, mute lamp out",
    "mute lamp out. mutes ok",
    "pan pot scratches when turned",
    "gain pot crackles when turned, rest of the strip ok",
  ])("has the part for %j ready", (text) => {
    expect(isOrdered(text)).toBe(true);
  });

  it.each([
    // What else failed took the light with it, or what feeds them all did.
    "solo dead, no light in it either",
    "buzzes, lamp of the room off: still",
    "all mute lamps out after the power dip",
    "mute LEDs dim",
    "phantom releases, light goes out, volts go out",
    // What people do and want.
    "send the rough mix to the drummer by noon",
    "fader wants to be stiff, i put a new one in",
    "print the fader moves, then bring the scratchy one back",
    // A danger is found first.
    "fader scratchy, smell of burning",
  ])("orders nothing for %j", (text) => {
    expect(isOrdered(text)).toBe(false);
  });
});

describe("a fault that a rule recognised", () => {
  const scratchy = { control: "fader", symptom: "scratch" } as const;
  const dark = { control: "lamp", symptom: "dark" } as const;
  const says = (text: string, fault: NotedFault, ...others: readonly NotedFault[]) =>
    speaksForParts(fault, [fault, ...others], text);

  it.each([
    ["fader scratchy", scratchy, true],
    // The words say another symptom, another control, or the rule named none.
    ["fader scratchy", { control: "fader", symptom: "hum" }, false],
    ["fader scratchy", { control: "phantom", symptom: "scratch" }, false],
    ["fader scratchy", { control: "fader" }, false],
    ["fader scratchy", { symptom: "scratch" }, false],
    // What goes out of the desk is no send's knob.
    ["send scratchy", { control: "send", symptom: "scratch" }, true],
    ["send out scratchy", { control: "send", symptom: "scratch" }, false],
    ["send outputs scratchy", { control: "send", symptom: "scratch" }, false],
    // A lamp is found by its darkness, whatever control it belongs to.
    ["mute LED dark", dark, true],
    ["all LEDs dark", dark, false],
    ["LEDs dim", dark, false],
    ["light goes out", dark, false],
  ] as const)("in %j, %j, is reason enough: %s", (text, fault, does) => {
    expect(says(text, fault)).toBe(does);
  });

  it("beside another one is not weighed by its words, but a light may be its trace", () => {
    // No word of these says it, but of two faults none can be told by all words.
    expect(says("fader scratchy", { control: "phantom", symptom: "hum" }, scratchy)).toBe(true);
    expect(says("fader scratchy, LED dark", dark, scratchy)).toBe(true);
    expect(says("hums, LED dark", dark, { symptom: "hum" })).toBe(false);
    expect(says("solo dead, LED dark", dark, { control: "solo", symptom: "dead" })).toBe(false);
    expect(says("hums, fader scratchy", scratchy, { symptom: "hum" })).toBe(true);
    expect(says("send the fader that scratches to Ann", scratchy, { symptom: "hum" })).toBe(false);
  });
});

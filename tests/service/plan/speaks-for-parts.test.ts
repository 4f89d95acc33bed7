import { describe, expect, it } from "vitest";
import { interpretNote } from "../../../src/service/plan/interpret-note.js";

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

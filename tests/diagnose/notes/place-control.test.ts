import { expect, it } from "vitest";
import type { SectionKind } from "../../../src/desk/section-kinds.js";
import { findPart } from "../../../src/diagnose/notes/find-part.js";
import type { NotedFault } from "../../../src/diagnose/notes/noted-fault.js";
import { placeControl } from "../../../src/diagnose/notes/place-control.js";

// What a service engineer would take the words for: common practice of the trade, no source.

it.each<
  readonly [fault: NotedFault, kind: SectionKind | undefined, text: string, found: NotedFault]
>([
  // A knob at a send is the send's; without a word for it that is a guess.
  [{ symptom: "scratch" }, "send", "knob scratchy", { symptom: "scratch", control: "send" }],
  [{ symptom: "stuck" }, "send", "stiff", { symptom: "stuck", control: "send", isVague: true }],
  // What is no handling, what lies outward, and what is elsewhere stays as it is.
  [{ symptom: "hum" }, "send", "knob hums", { symptom: "hum" }],
  [{ symptom: "scratch" }, "send", "jack scratchy", { symptom: "scratch" }],
  [{ symptom: "scratch" }, undefined, "knob scratchy", { symptom: "scratch" }],
  [{ symptom: "scratch" }, "meters", "knob scratchy", { symptom: "scratch" }],
  // What a needle does at the meters is the meter's.
  [{ symptom: "stuck" }, "meters", "stuck", { symptom: "stuck", control: "meter" }],
  [{ symptom: "stuck" }, undefined, "stuck", { symptom: "stuck" }],
  // A control that is named stays, and so does a note without a symptom.
  [
    { symptom: "stuck", control: "lamp" },
    "meters",
    "lamp stuck",
    { symptom: "stuck", control: "lamp" },
  ],
  [{ control: "lamp" }, "send", "lamp", { control: "lamp" }],
] as const)("%j at %s in %j is %j", (fault, kind, text, found) => {
  expect(placeControl(fault, kind, text)).toEqual(found);
});

it.each([
  ["R14 off value", { name: "R14", what: "resistor" }],
  ["c7a is leaky", { name: "C7a", what: "capacitor" }],
  ["R14", undefined],
  ["the value is off", undefined],
  ["R14 was bad, replaced", undefined],
] as const)("the part that %j names is %j", (text, part) => {
  expect(findPart(text)).toEqual(part);
});

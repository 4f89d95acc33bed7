import { describe, expect, it } from "vitest";
import { findPart } from "../../../src/diagnose/notes/find-part.js";
import type { NotedFault, NoteReading } from "../../../src/diagnose/notes/noted-fault.js";
import { placeControl } from "../../../src/diagnose/notes/place-control.js";
import { settleReading } from "../../../src/diagnose/notes/settle-reading.js";
import type { weighWords } from "../../../src/diagnose/notes/weigh-words.js";

// Words that are all but sure of one answer, or know nothing, so that no figure of the trust in them
// decides: what a reading by rules and such words give together is common sense.

const sure = 0.999;
/** Words that say these with so much of the probability, and spread the rest. */
const words =
  (symptom: string | undefined, control: string | undefined, share = sure): typeof weighWords =>
  (question) => {
    const answers =
      question === "symptom"
        ? ["hum", "hiss", "scratch", "crackle", "dead", "dull", undefined]
        : ["fader", "pan", "mute", undefined];
    const said = question === "symptom" ? symptom : control;
    const rest = (1 - share) / (answers.length - 1);
    return new Map(answers.map((one) => [one, Math.log(one === said ? share : rest)])) as never;
  };
const reading = (...faults: readonly NotedFault[]): NoteReading => ({ faults, isInOrder: false });
const settle = (read: NoteReading, weigh: typeof weighWords, note = "a note") =>
  settleReading(read, note, undefined, weigh);

describe("a reading that words are weighed against", () => {
  it("stays where there is no note, where all is in order, and where each control has its symptom", () => {
    const other = words("dull", "mute");
    const one = reading({ symptom: "hum" });
    expect(settle(one, other, "")).toBe(one);
    const fine = { faults: [], isInOrder: true };
    expect(settle(fine, other)).toBe(fine);
    const list = reading(
      { control: "fader", symptom: "scratch" },
      { control: "pan", symptom: "dead" },
    );
    expect(settle(list, other)).toBe(list);
  });

  it("is what the words say where the rules read nothing, as a guess", () => {
    expect(settle(reading(), words("dull", undefined))).toEqual({
      faults: [{ symptom: "dull", isVague: true }],
      isInOrder: false,
    });
    expect(settle(reading(), words("scratch", "fader")).faults).toEqual([
      { control: "fader", symptom: "scratch", isVague: true },
    ]);
    // Words that know nothing, and a control without a symptom, are no fault.
    const none = reading();
    expect(settle(none, words(undefined, undefined))).toBe(none);
    expect(settle(none, words(undefined, "fader"))).toBe(none);
    expect(settle(none, words("dull", "fader", 0.2))).toBe(none);
  });

  it("stays itself where words say the same, or scratch for crackle", () => {
    const own = reading({ control: "fader", symptom: "scratch" });
    expect(settle(own, words("scratch", "fader"))).toBe(own);
    expect(settle(own, words("crackle", "fader"))).toBe(own);
  });

  it("gives way to words that leave no doubt, and not to such as know little", () => {
    const own = reading({ control: "fader", symptom: "dull" });
    expect(settle(own, words("hum", "pan", 0.999999)).faults).toEqual([
      { control: "pan", symptom: "hum", isVague: true },
    ]);
    expect(settle(own, words("hum", "pan", 0.3))).toBe(own);
  });

  it("is none of it only where words are all but sure of that", () => {
    const vague = reading({ symptom: "hum", isVague: true });
    expect(settle(vague, words(undefined, undefined, 0.999999))).toEqual(reading());
    expect(settle(vague, words(undefined, undefined, 0.3))).toBe(vague);
  });

  it("keeps of two faults the one that words know, and both where they know both", () => {
    const both = reading({ symptom: "hum" }, { control: "mute", symptom: "dead" });
    expect(settle(both, words("hum", undefined, 0.999999)).faults).toEqual([{ symptom: "hum" }]);
    const half: typeof weighWords = (question) =>
      new Map(
        question === "symptom"
          ? [
              ["hum", Math.log(0.5)],
              ["dead", Math.log(0.5)],
            ]
          : [[undefined, 0]],
      ) as never;
    expect(settle(both, half)).toBe(both);
    // "Nothing plugged in" beside a hum says how it is heard; "and" makes it a second fault.
    const passing = reading({ symptom: "hum" }, { symptom: "dead" });
    expect(settle(passing, half).faults).toHaveLength(1);
    expect(settle(passing, half, "hums and is dead")).toBe(passing);
    const three = reading({ symptom: "hum" }, { symptom: "dead" }, { symptom: "hum" });
    expect(settle(three, half, "hums and is dead").faults).toHaveLength(1);
  });

  it("names no control that it says is not the reason", () => {
    const cleared: NoteReading = { ...reading({ symptom: "hum" }), cleared: ["fader"] };
    const found = settle(cleared, words("hum", "fader", 0.999999));
    expect(found.faults[0].control).not.toBe("fader");
  });

  it("comes and goes where the rules read so of that symptom, or its name says it", () => {
    const own = reading({ symptom: "hum", comesAndGoes: true, isVague: true });
    expect(settle(own, words("hum", "pan", 0.999999)).faults).toEqual([
      { control: "pan", symptom: "hum", isVague: true, comesAndGoes: true },
    ]);
    expect(settle(own, words("dull", "pan", 0.999999)).faults[0]).not.toHaveProperty(
      "comesAndGoes",
    );
  });
});

describe("a symptom without a control", () => {
  const place = (fault: NotedFault, kind: "send" | "meters" | "supply" | undefined, text = "") =>
    placeControl(fault, kind, text);

  it("is of the send's knob where it is turned, a guess without a word for that", () => {
    expect(place({ symptom: "scratch" }, "send", "scratchy pot")).toEqual({
      symptom: "scratch",
      control: "send",
    });
    expect(place({ symptom: "scratch" }, "send", "scratchy")).toEqual({
      symptom: "scratch",
      control: "send",
      isVague: true,
    });
    for (const [fault, kind, text] of [
      [{ symptom: "scratch" }, "send", "scratchy output jack"],
      [{ symptom: "hum" }, "send", "pot"],
      [{ symptom: "scratch" }, "supply", "pot"],
      [{ symptom: "scratch" }, undefined, "pot"],
      [{ symptom: "scratch", control: "pan" }, "send", "pot"],
      [{ control: "pan" }, "meters", ""],
      [{ symptom: "hum" }, "meters", ""],
      [{ symptom: "stuck" }, "supply", ""],
    ] as const) {
      expect(place(fault, kind, text)).toBe(fault);
    }
  });

  it("is of the meter where a meter shows it", () => {
    expect(place({ symptom: "stuck" }, "meters")).toEqual({ symptom: "stuck", control: "meter" });
  });
});

it.each([
  ["r14 reads high", { name: "R14", what: "resistor" }],
  ["C7 dried out", { name: "C7", what: "capacitor" }],
  ["c7a leaky", { name: "C7a", what: "capacitor" }],
  ["R14", undefined],
  ["R14 replaced, was open", undefined],
  ["r12345 open", undefined],
  ["open", undefined],
] as const)("%j names the part %j", (text, part) => {
  expect(findPart(text)).toEqual(part);
});

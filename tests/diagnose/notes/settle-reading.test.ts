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

// By hand: the answer's share of Σ exp(words · log + first + none), with the figures that the program
// states for what the rules read; each bound tried on either side of it.
describe("how sure words must be", () => {
  type Shares = readonly (readonly [is: string | undefined, share: number])[];
  const said = (symptom: Shares, control: Shares): typeof weighWords =>
    ((question: string) =>
      new Map(
        (question === "symptom" ? symptom : control).map(([is, share]) => [is, Math.log(share)]),
      )) as never;
  const only = (is: string | undefined): Shares => [[is, 1]];
  const spread = (is: string | undefined, share: number): Shares => {
    const all = ["hum", "hiss", "scratch", "crackle", "dead", "dull", undefined];
    return all.map((one) => [one, one === is ? share : (1 - share) / 6] as const);
  };

  it("a control is added to a symptom from a half on", () => {
    const hum = reading({ symptom: "hum" });
    const of = (...control: Shares) => settle(hum, said(only("hum"), control));
    // 0.6^1.3, 0.39^1.3 and 0.01^1.3 · e^(0.12 − 0.9): 0.63 of their sum.
    expect(of(["fader", 0.6], ["pan", 0.39], [undefined, 0.01]).faults).toEqual([
      { control: "fader", symptom: "hum", isVague: true },
    ]);
    // 0.4, 0.35, 0.24 and 0.01 so: 0.42.
    expect(of(["fader", 0.4], ["pan", 0.35], ["mute", 0.24], [undefined, 0.01])).toBe(hum);
    // No control is none that is added: 0.6^1.3 · e^−0.78 of that and twice 0.2^1.3 is 0.49.
    const none = [
      [undefined, 0.6],
      ["fader", 0.2],
      ["pan", 0.2],
    ] as const;
    expect(settle(hum, said(only("dull"), none)).faults).toEqual([
      { symptom: "dull", isVague: true },
    ]);
  });

  it("one control is taken for another from a quarter on, where one was named or nothing at all", () => {
    // 0.26^1.2 of that, 0.25^1.2 and twice 0.24^1.2: 0.27. The rules' own has next to nothing.
    const alike = [
      ["fader", 0.26],
      ["pan", 0.25],
      ["solo", 0.24],
      ["send", 0.24],
      ["mute", 0.0001],
    ] as const;
    const named = reading({ control: "mute", symptom: "hum", isVague: true });
    expect(settle(named, said(only("hum"), alike)).faults).toEqual([
      { control: "fader", symptom: "hum", isVague: true },
    ]);
    // 0.3^1.42 of that, twice 0.25^1.42 and 0.2^1.42 · e^−0.2: 0.33.
    const some = [
      ["fader", 0.3],
      ["pan", 0.25],
      ["mute", 0.25],
      [undefined, 0.2],
    ] as const;
    expect(settle(reading(), said(only("dull"), some)).faults).toEqual([
      { control: "fader", symptom: "dull", isVague: true },
    ]);
    // Six that are nearly as likely: 0.19^1.4 of that and five times 0.162^1.4, 0.2.
    const six = ["hum", "hiss", "scratch", "crackle", "dead"].map((one) => [one, 0.162] as const);
    const nothing = reading();
    expect(settle(nothing, said([["dull", 0.19], ...six], only("fader")))).toBe(nothing);
  });

  it("what leaves no doubt is overruled above 0.6", () => {
    const exact = reading({ control: "fader", symptom: "dull" });
    const of = (share: number) =>
      settle(
        exact,
        said(
          [
            ["hum", share],
            ["dull", 1 - share],
          ],
          only("fader"),
        ),
      );
    // 1/(1 + ((1 − s)/s)^1.28 · e^1.88): 0.54 and 0.66.
    expect(of(0.83)).toBe(exact);
    expect(of(0.88).faults).toEqual([{ control: "fader", symptom: "hum", isVague: true }]);
  });

  it("scratch and crackle of a control are one, where the rules have no doubt, and of that control", () => {
    const crackle = { faults: [{ control: "fader", symptom: "crackle", isVague: true }] };
    const of = (...faults: readonly NotedFault[]) =>
      settle(reading(...faults), said(only("crackle"), only("fader")));
    const scratch = { control: "fader", symptom: "scratch" } as const;
    expect(of(scratch).faults).toEqual([scratch]);
    expect(of({ ...scratch, isVague: true })).toMatchObject(crackle);
    expect(of({ ...scratch, control: "pan" })).toMatchObject(crackle);
    expect(of({ ...scratch, symptom: "dull" })).toMatchObject(crackle);
    const hum = settle(reading(scratch), said(only("hum"), only("fader")));
    expect(hum.faults).toEqual([{ control: "fader", symptom: "hum", isVague: true }]);
  });

  it.each([
    // 1/(1 + ((1 − s)/s)^1.38 · e^0.85): 0.65 and 0.75 about 0.7.
    ["a guess", { symptom: "hum", isVague: true }, 0.744, 0.804, false],
    // 1/(1 + ((1 − s)/s)^1.32 · e^1.15): 0.84 and 0.94 about 0.9.
    ["a symptom", { symptom: "hum" }, 0.895, 0.95, false],
    // 1/(1 + 6 · ((1 − s)/6/s)^1.32 · e^−0.17): 0.45 and 0.55 about 0.5.
    ["a control alone", { control: "fader" }, 0.329, 0.399, true],
  ] as const)("%s is none only from its bound on", (_, fault, below, above, isSpread) => {
    const own = reading(fault);
    const of = (share: number) => {
      const two: Shares = [
        [undefined, share],
        ["hum", 1 - share],
      ];
      return settle(own, said(isSpread ? spread(undefined, share) : two, only(undefined)));
    };
    expect(of(below)).toBe(own);
    expect(of(above)).toEqual({ faults: [], isInOrder: false });
  });

  it("a guess at a control alone is one like any other", () => {
    const own = reading({ control: "fader", isVague: true });
    expect(settle(own, said(spread(undefined, 0.399), only(undefined)))).toBe(own);
  });

  it("of two faults both count where the words give either three in a hundred", () => {
    const both = reading({ symptom: "hum" }, { control: "mute", symptom: "dead" });
    const of = (dead: number, read = both) =>
      settle(
        read,
        said(
          [
            ["hum", 1 - dead],
            ["dead", dead],
          ],
          only(undefined),
        ),
      );
    expect(of(0.031)).toBe(both);
    expect(of(0.029).faults).toEqual([{ symptom: "hum" }]);
    // What the words do not know at all is not held against it.
    const dull = reading({ symptom: "hum" }, { symptom: "dull" });
    expect(of(0.029, dull)).toBe(dull);
  });

  it("a control without a symptom leaves a list open", () => {
    const list = reading({ control: "fader" }, { control: "pan", symptom: "dead" });
    const dead: Shares = [
      ["dead", 0.99],
      [undefined, 0.01],
    ];
    expect(settle(list, said(dead, only("pan"))).faults).toEqual([
      { control: "pan", symptom: "dead" },
    ]);
  });

  it("what is intermittent comes and goes", () => {
    const found = settle(reading(), said(only("intermittent"), only(undefined)));
    expect(found.faults).toEqual([{ symptom: "intermittent", isVague: true, comesAndGoes: true }]);
  });
});

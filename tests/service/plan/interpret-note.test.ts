import { describe, expect, it } from "vitest";
import { interpretNote } from "../../../src/service/plan/interpret-note.js";

// What a service engineer takes from such words (common practice, no source).

const read = (text: string, more: object = {}) =>
  interpretNote({
    line: {
      note: 1,
      id: "n1",
      date: "2031-03-14T12:00:00Z",
      kind: "fault",
      strip: "7",
      text,
      ...more,
    } as never,
  });
const faults = (text: string, more: object = {}) =>
  read(text, more).faults.map(({ control, symptom }) => `${control ?? "-"} ${symptom ?? "-"}`);

describe("a note of a danger", () => {
  it.each([
    ["fader intermittent", "fader intermittent", []],
    ["mains socket loose", "socket loose", []],
    ["socket stuck", "socket stuck", []],
    ["smell of burning, hums", "- hum", ["- hum"]],
    ["socket hums", "socket hum", ["socket hum"]],
  ])("beside %j keeps what is more than how it was noticed", (text, alone, inDanger) => {
    if (!text.includes("burning")) expect(faults(text)).toStrictEqual([alone]);
    expect(faults(`${text}, smell of burning`)).toStrictEqual(inDanger);
  });

  it("orders nothing, and is never in order", () => {
    const sure = (text: string) => read(text).faults.map(({ isSure }) => isSure);
    expect(sure("fader scratchy")).toStrictEqual([true]);
    expect(sure("fader scratchy, smell of burning")).toStrictEqual([false]);
    expect(read("no hum any more").isInOrder).toBe(true);
    expect(read("no hum any more, smell of burning").isInOrder).toBe(false);
    expect(read("hum").isInOrder).toBe(false);
  });
});

describe("what options say", () => {
  it("goes before the words, and takes the rest from the fault that it fits", () => {
    expect(faults("", { control: "fader" })).toStrictEqual(["fader -"]);
    expect(faults("", { symptom: "hum" })).toStrictEqual(["- hum"]);
    expect(faults("fader scratchy", { control: "fader" })).toStrictEqual(["fader scratch"]);
    expect(faults("fader scratchy", { symptom: "hum" })[0]).toMatch(/ hum$/);
    expect(faults("fader scratchy", { control: "pan", symptom: "hum" })[0]).toBe("pan hum");
  });

  it("is sure where it names both, whatever the words", () => {
    const [typed] = read("by the look of it", { control: "fader", symptom: "scratch" }).faults;
    expect(typed.isSure).toBe(true);
    expect(read("ask Jo about it").faults).toStrictEqual([]);
    expect(interpretNote({ line: { kind: "repair", text: "hum" } as never })).toStrictEqual({
      causes: [],
      faults: [],
      isInOrder: false,
    });
  });

  it("is that of the first fault for the whole note", () => {
    const found = read("fader scratchy");
    expect(found).toMatchObject({ control: "fader", symptom: "scratch" });
    expect(found.causes).toStrictEqual(found.faults[0].causes);
    expect(read("hum")).not.toHaveProperty("control");
  });
});

describe("the causes of a note", () => {
  // By the shares in the causes' own records: a cause that names the control goes before all others,
  // then the larger share; hum, hiss, thin and the like are of the path, whatever knob is named,
  // unless a cause has that knob with them. Equal shares stay in the registry's order.
  const path = ["early-clipping", "smooth-distortion", "crossover-distortion"];
  it.each([
    // 6, 2, 1
    [undefined, "hum", ["ground-hum", "supply-ripple", "open-leg"], false],
    ["gain", "hum", ["ground-hum", "supply-ripple", "open-leg"], false],
    // The insert alone 3 and 3, then those of any path
    [
      "insert",
      "hum",
      ["dirty-contact", "dirty-insert-normal", "ground-hum", "supply-ripple", "open-leg"],
      false,
    ],
    [
      "insert",
      "dull",
      ["dirty-insert-normal", "dirty-contact", "high-loss", "added-series-resistance", "slewing"],
      false,
    ],
    ["insert", undefined, ["dirty-insert-normal", "dirty-contact"], false],
    // 7 and 6; a worn control has no socket, though it comes loose
    ["socket", "loose", ["dry-joint", "dirty-contact"], false],
    [undefined, "loose", ["worn-control"], false],
    // 8 beside 5 of the same cause; sure by the second of its pointers
    ["fader", "stuck", ["worn-control"], true],
    ["pan", "stuck", ["worn-control", "send-or-pan-faulty"], false],
    // 7 of its own symptoms, sure by the fader's own pointer alone
    ["fader", "dropout", ["worn-control", "no-signal"], true],
    ["fader", "scratch", ["worn-control", "leaky-capacitor"], true],
    ["fader", "intermittent", ["worn-control", "no-signal"], false],
    // 6, 3, 1
    [undefined, "scratch", ["worn-gain-control", "leaky-capacitor", "dirty-contact"], false],
    // 6, 2, 1, 1
    [undefined, "dead", ["no-signal", "dirty-contact", "op-amp-latched", "dry-joint"], false],
    ["fader", undefined, ["worn-control"], false],
    ["phantom", undefined, ["phantom-supply-off", "phantom-sags"], false],
    // 7 and 6; 4, 2.5, 2, 1.5, 1 and 1
    [
      "phantom",
      "distorted",
      ["phantom-sags", "phantom-supply-off", ...path, "op-amp-latched", "slewing", "oscillation"],
      false,
    ],
    // No fader distorts: 4, 2.5, 2, 1.8, 1.5, 1, 1
    [
      "fader",
      "distorted",
      [...path, "dirty-contact", "op-amp-latched", "slewing", "oscillation"],
      false,
    ],
    ["mute", "crosstalk", ["mute-element", "dirty-contact"], false],
    [undefined, "crosstalk", [], false],
    ["gain", "crackle", ["worn-gain-control", "leaky-capacitor", "noisy-device"], true],
    ["lamp", "dark", ["meter-or-lamp"], true],
    ["meter", "dark", ["meter-or-lamp"], false],
    [undefined, "dark", ["meter-or-lamp"], false],
  ] as const)(
    "of the control %s and the symptom %s are %j, sure: %s",
    (control, symptom, causes, isSure) => {
      const typed = {
        ...(control === undefined ? {} : { control }),
        ...(symptom === undefined ? {} : { symptom }),
      };
      const found = read("", typed);
      expect(found).toStrictEqual({
        ...typed,
        causes,
        faults: [{ ...typed, causes, isSure }],
        isInOrder: false,
      });
    },
  );
});

describe("options beside words", () => {
  it.each([
    // Nothing fits: the option stands by itself, before what was read.
    ["fader scratchy", { control: "pan" }, ["pan -", "fader scratch"]],
    // What has no control of its own is the option's.
    ["hum", { control: "pan" }, ["pan hum"]],
    ["hum, pan scratchy", { control: "pan", symptom: "hum" }, ["pan hum", "pan scratch"]],
    ["hum, pan scratchy", { control: "fader", symptom: "hiss" }, ["fader hiss", "pan scratch"]],
    // What fits takes the rest, and goes before.
    ["fader scratchy, pan crackles", { symptom: "crackle" }, ["pan crackle", "fader scratch"]],
    ["fader scratchy, pan crackles", { control: "pan" }, ["pan crackle", "fader scratch"]],
    [
      "fader scratchy, pan crackles",
      { control: "pan", symptom: "crackle" },
      ["pan crackle", "fader scratch"],
    ],
    ["fader scratchy, pan crackles", {}, ["fader scratch", "pan crackle"]],
    // A symptom alone that fits nothing is of the first fault.
    ["fader scratchy, pan crackles", { symptom: "hum" }, ["fader hum", "pan crackle"]],
  ])("%j with %j is %j", (text, options, told) => {
    expect(faults(text, options)).toStrictEqual(told);
  });

  it("are sure by themselves only if there are both", () => {
    const sure = (text: string, options: object) => read(text, options).faults[0].isSure;
    // The words alone would not be enough: they send the fader to somebody.
    const words = "send the fader that scratches to Ann";
    expect(sure(words, { control: "fader", symptom: "scratch" })).toBe(true);
    expect(sure(words, { control: "fader" })).toBe(false);
    expect(sure(words, { symptom: "scratch" })).toBe(false);
    expect(sure(`${words}, smell of burning`, { control: "fader", symptom: "scratch" })).toBe(
      false,
    );
  });
});

describe("a knob", () => {
  it("at an aux send is the send's", () => {
    const at = (sectionKind?: string) =>
      faults("knob scratchy", sectionKind === undefined ? {} : { sectionKind });
    expect([at("send"), at("bus"), at()]).toStrictEqual([
      ["send scratch"],
      ["- scratch"],
      ["- scratch"],
    ]);
  });
});

describe("what is only guessed", () => {
  it("orders nothing, and counts for nothing beside a danger", () => {
    expect(read("strange noise").faults).toMatchObject([
      { symptom: "hiss", isVague: true, isSure: false },
    ]);
    expect(faults("hot and noisy")).toStrictEqual([]);
    // A control that is named stays, whatever was guessed of it.
    expect(faults("fader acting up, smell of burning")).toStrictEqual(["fader -"]);
  });

  it.each([
    ["went black and smoked", []],
    ["stuck together, smoke", []],
    ["popped and smoked", ["- pop"]],
    ["mains socket sparks", []],
    ["crosstalk and smell of burning", []],
    ["loud, smell of burning", []],
    ["lamp dark, smell of burning", ["lamp dark"]],
    // A transformer that is heard hums, if nothing else is wrong.
    ["transformer louder than usual", ["- hum"]],
    ["transformer rattles", ["- hum"]],
    ["transformer noisy, fader scratchy", ["fader scratch"]],
  ])("as %j leaves %j beside the danger", (text, left) => {
    expect(faults(text)).toStrictEqual(left);
  });
});

import { describe, expect, it } from "vitest";
import { noneOfThese } from "../../../src/diagnose/causes/none-of-these.js";
import { getCauseName } from "../../../src/diagnose/causes.js";
import type { RoundFinding, RoundPath } from "../../../src/history/types.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { judgeRetest } from "../../../src/service/retest/judge-retest.js";
import { path, reading, round } from "../limits/rounds.js";

// Expected: what the doc comments of the re-test promise. Siblings are within tenths of a decibel; a
// faulty path has 13 dB more hiss, which is there again or is not.

type Causes = RoundPath["causes"];
const cause = (id: string, kind: Causes[number]["kind"] = "fault"): Causes => [
  { cause: id, name: `a ${id}`, kind, probability: 0.9, evidence: [], confirmBy: "swap it" },
];
const finding = (more: Partial<RoundFinding> = {}): RoundFinding => ({
  reading: "hiss",
  against: "siblings",
  value: -67,
  expected: -80,
  deviation: 13,
  unit: "dBFS",
  score: 20,
  severity: "service",
  words: "",
  ...more,
});
const off = [-0.1, 0.1, -0.2, 0.2, 0, -0.1, 0.1, 0];
const strips = off.map((_, k) => `${k + 1}`);
const all = ["mic", "line"].flatMap((input) => strips.map((strip) => `${strip}/${input}`));
const at = (name: string, value: number, more: Partial<RoundPath> = {}) =>
  path({ path: name, readings: { hiss: reading(value, "dBFS", 0.1) }, ...more });
const usual = (name: string) => -80 + off[Number.parseInt(name, 10) - 1];

/** Noisy paths, each by the cause it was laid to; all others are as they ought to be. */
const earlier = (odd: Readonly<Record<string, Causes | Partial<RoundPath>>>) =>
  round(
    all.map((name) => {
      const given = odd[name];
      if (given === undefined) return at(name, usual(name));
      const more = Array.isArray(given) ? { causes: given } : given;
      return at(name, -67, { oddness: 20, findings: [finding()], ...(more as Partial<RoundPath>) });
    }),
  );
/** The re-test: the hiss of paths that are not as they ought to be, or what else is of them. */
const retested = (
  still: Readonly<Record<string, number | Partial<RoundPath>>>,
  names: readonly string[] = all,
) => ({
  ...round(
    names.map((name) => {
      const given = still[name];
      return typeof given === "number" ? at(name, given) : at(name, usual(name), given);
    }),
    "2031-06-01-01",
  ),
  date: "2031-06-01T12:00:00.000Z",
});
const note = (strip: string, text: string, more: object = {}) => ({
  kind: "fault",
  strip,
  text,
  ...more,
});
const chosen = {
  touched: ["7"],
  paths: all.map((name) => {
    const [strip, input] = name.split("/");
    return { path: name, strip, input, family: input };
  }),
};

function judge(
  base: ReturnType<typeof earlier>,
  later: ReturnType<typeof retested>,
  notes: readonly object[] = [],
  done?: ReadonlyMap<string, string>,
) {
  const lines = notes.map((line, k) =>
    JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-20T12:00:00Z", ...line }),
  );
  const notebook = parseNotebook(Buffer.from(lines.join("\n")), "notebook.jsonl");
  return judgeRetest(base, later, { notebook, chosen, ...(done && { done }) });
}
const outcomes = (...given: Parameters<typeof judge>) =>
  judge(...given).items.map(({ key, outcome }) => [key, outcome]);
const noisy = cause("noisy-device");
const other = cause("dried-coupling-capacitor");

describe("which items are judged", () => {
  it("those of strips that were measured again", () => {
    const base = earlier({ "7/mic": noisy, "8/mic": noisy });
    const seven = all.filter((name) => !name.startsWith("8"));
    const notes = [note("8", "lamp is odd"), note("7", "lamp is odd")];
    expect(outcomes(base, retested({}, seven), notes)).toStrictEqual([
      ["7 noisy-device", "mended"],
      ["7 meter-or-lamp", "not shown"],
    ]);
  });

  it("not those that an earlier re-test proved and this one does not show", () => {
    const base = earlier({ "7/mic": noisy });
    const keys = new Map([
      ["7 noisy-device", "2031-05-01"],
      ["7 meter-or-lamp", "2031-05-01"],
    ]);
    expect(outcomes(base, retested({}), [note("7", "lamp is odd")], keys)).toStrictEqual([
      ["7 noisy-device", "mended"],
    ]);
    const rest = new Map([["7 noisy-device", "2031-05-01"]]);
    const without = all.filter((name) => name !== "7/mic");
    expect(outcomes(base, retested({}, without), [], rest)).toStrictEqual([]);
    expect(outcomes(base, retested({}, without))).toStrictEqual([["7 noisy-device", "not shown"]]);
  });

  it("each by its own path's findings", () => {
    const base = earlier({ "6/mic": noisy, "7/mic": noisy, "7/line": other });
    expect(outcomes(base, retested({ "6/mic": -67, "7/line": -60 }))).toStrictEqual([
      ["6 noisy-device", "unchanged"],
      ["7 noisy-device", "mended"],
      ["7 dried-coupling-capacitor", "worse"],
    ]);
  });

  it("has no key of shared faults and sums where there are none", () => {
    const found = judge(earlier({ "7/mic": noisy }), retested({}));
    expect(found).not.toHaveProperty("sharedFaults");
    expect(found).not.toHaveProperty("sums");
  });

  it("counts a path as unmeasured, unless nothing came back of it", () => {
    const findings = (id: string) => [finding({ reading: id })];
    const found = judge(
      earlier({}),
      retested({
        "3/mic": { status: "missing" },
        "4/mic": { status: "silent" as never, findings: findings("return") },
        "5/mic": { status: "unusable", findings: findings("hiss") },
      }),
    );
    expect(found.unmeasured).toStrictEqual(["3/mic", "5/mic"]);
    expect(found.measured).toBe(all.length - 3);
  });
});

describe("settings of the earlier round", () => {
  const wrong = cause("low-cut-left-in", "setting");

  it("are judged where their path was measured again", () => {
    const base = earlier({ "6/mic": wrong, "7/mic": wrong, "8/mic": wrong });
    const later = retested(
      { "7/mic": -67 },
      all.filter((name) => name !== "6/mic"),
    );
    expect(judge(base, later).items).toMatchObject([
      {
        key: "7 low-cut-left-in/mic",
        strip: "7",
        cause: "low-cut-left-in/mic",
        name: { code: "cause", name: "a low-cut-left-in" },
        paths: ["7/mic"],
        outcome: "unchanged",
        closes: [],
        staysOpen: [],
      },
      { key: "8 low-cut-left-in/mic", outcome: "mended" },
    ]);
  });
});

describe("a new fault", () => {
  it("is named by its likeliest cause, or by none", () => {
    const base = earlier({});
    const [named] = judge(
      base,
      retested({ "8/mic": { ...at("8/mic", -67), causes: noisy } }),
    ).items;
    expect(named).toMatchObject({
      key: "8 new-mic",
      strip: "8",
      cause: "noisy-device",
      name: { code: "cause", name: "a noisy-device" },
      paths: ["8/mic"],
      outcome: "new fault",
      closes: [],
      staysOpen: [],
    });
    const [unnamed] = judge(base, retested({ "8/mic": -67 })).items;
    expect(unnamed).toMatchObject({
      cause: "not-clear",
      name: { code: "cause", name: getCauseName(noneOfThese.id) },
    });
  });
});

describe("the notes of an item", () => {
  const base = earlier({ "7/mic": noisy });
  const notesOf = (...notes: readonly object[]) => {
    const { items } = judge(base, retested({}), notes);
    return items.map(({ closes, staysOpen }) => ({ closes, staysOpen }));
  };

  it("are closed with it where a measurement can show what they say", () => {
    expect(notesOf(note("7", "hissy"))).toStrictEqual([{ closes: ["n1"], staysOpen: [] }]);
    const still = judge(base, retested({ "7/mic": -67 }), [note("7", "hissy")]);
    expect(still.items).toMatchObject([{ outcome: "unchanged", closes: [], staysOpen: ["n1"] }]);
  });

  it.each([
    ["several faults", "hissy, and it hums"],
    ["a fault that comes and goes", "hiss comes and goes"],
    ["a fault with a danger", "hissy, and it smells burnt"],
    ["a fault that only use shows", "fader is scratchy"],
  ])("stay open where they tell of %s", (_, text) => {
    const open = notesOf(note("7", text)).flatMap(({ staysOpen }) => staysOpen);
    expect(new Set(open)).toStrictEqual(new Set(["n1"]));
    expect(notesOf(note("7", text)).flatMap(({ closes }) => closes)).toStrictEqual([]);
  });

  it("are told as noted only where no path and no meter shows the item", () => {
    const { items } = judge(base, retested({}), [note("7", "lamp is odd")]);
    expect(items.map(({ figures }) => figures.map(({ code }) => code))).toStrictEqual([
      ["findings"],
      ["noted-only"],
    ]);
  });

  it("are none of a meter's readings", () => {
    const values = [{ at: "value", value: 0.5, unit: "V", nominal: 0 }];
    const meter = { kind: "meter", strip: "7", what: "direct", values, text: "" };
    const { items } = judge(base, retested({}), [meter]);
    const own = items.find(({ figures }) => figures.some(({ code }) => code === "metered"));
    expect(own).toMatchObject({ outcome: "not shown", closes: [], staysOpen: [] });
  });
});

describe("a note whose own item nothing measured", () => {
  const whistle = (more: object = {}, text = "") =>
    note("7", text, { symptom: "whistle", ...more });
  /** What became of the note: the item that it raised, among the others. */
  const answer = (
    base: ReturnType<typeof earlier>,
    later: ReturnType<typeof retested>,
    ...notes: readonly object[]
  ) => judge(base, later, notes).items.find(({ paths }) => paths.length === 0);
  const both = earlier({ "7/mic": noisy, "7/line": other });

  it("is answered where all that its strip had is gone, and could have shown it", () => {
    expect(answer(both, retested({}), whistle())).toMatchObject({
      outcome: "mended",
      figures: [
        { code: "answered-by", name: { code: "cause", name: "a noisy-device" } },
        { code: "answered-by", name: { code: "cause", name: "a dried-coupling-capacitor" } },
      ],
      closes: ["n1"],
      staysOpen: [],
    });
    for (const still of [{ "7/line": -67 }, { "7/mic": -67 }, { "7/mic": -67, "7/line": -67 }]) {
      expect(answer(both, retested(still), whistle())).toMatchObject({
        outcome: "not shown",
        closes: [],
        staysOpen: ["n1"],
      });
    }
  });

  it("is answered by its own input alone, where it names one", () => {
    const mic = whistle({ input: "mic" });
    expect(answer(both, retested({ "7/line": -67 }), mic)?.outcome).toBe("mended");
    expect(answer(both, retested({ "7/mic": -67 }), mic)?.outcome).toBe("not shown");
    // One cause for both inputs is one item.
    const same = earlier({ "7/mic": noisy, "7/line": noisy });
    expect(answer(same, retested({}), mic)?.outcome).toBe("mended");
    expect(answer(same, retested({ "7/line": -67 }), mic)?.outcome).toBe("not shown");
  });

  it("is answered whatever other strips had, and is not by what they had", () => {
    const eight = earlier({ "7/mic": noisy, "8/mic": noisy });
    expect(answer(eight, retested({ "8/mic": -67 }), whistle())?.outcome).toBe("mended");
    expect(answer(earlier({ "8/mic": noisy }), retested({}), whistle())?.outcome).toBe("not shown");
    // Hiss shows no dull sound, a response does: but it was another strip's.
    const dull = note("7", "", { symptom: "dull" });
    const response = [finding({ reading: "response", unit: "dB" })];
    const others = earlier({ "7/mic": noisy, "8/mic": { causes: other, findings: response } });
    expect(answer(others, retested({}), dull)?.outcome).toBe("not shown");
  });

  it("is answered whatever other notes say, unless they are of the same item", () => {
    const lamp = note("5", "lamp is odd");
    expect(answer(both, retested({}), whistle(), lamp)?.outcome).toBe("mended");
    expect(answer(both, retested({}), whistle({}, "whistle comes and goes"))?.outcome).toBe(
      "not shown",
    );
    expect(
      answer(both, retested({}), whistle(), whistle({}, "whistle comes and goes")),
    ).toMatchObject({ outcome: "not shown", staysOpen: ["n1", "n2"] });
  });

  it("is not answered by a setting that is as it was", () => {
    const set = earlier({ "7/mic": noisy, "7/line": cause("low-cut-left-in", "setting") });
    expect(answer(set, retested({}), whistle())?.outcome).toBe("mended");
    expect(answer(set, retested({ "7/line": -67 }), whistle())?.outcome).toBe("not shown");
  });
});

describe("an item with a note", () => {
  const both = earlier({ "7/mic": noisy, "7/line": other });
  const hissy = note("7", "hissy", { input: "mic" });
  const outcomeOf = (later: ReturnType<typeof retested>, ...notes: readonly object[]) =>
    Object.fromEntries(outcomes(both, later, notes));

  it("is no better because another of its strip is repaired", () => {
    const hiss = note("7", "hissy");
    expect(outcomeOf(retested({ "7/mic": -67 }), hiss)["7 noisy-device"]).toBe("unchanged");
    expect(outcomeOf(retested({ "7/line": -67 }), hiss)["7 dried-coupling-capacitor"]).toBe(
      "unchanged",
    );
  });

  it("is not answered for by another path where its own was not measured again", () => {
    const without = all.filter((name) => name !== "7/mic");
    expect(outcomeOf(retested({}, without), hissy)["7 noisy-device"]).toBe("not shown");
    expect(outcomeOf(retested({}, without), note("7", "hissy"))["7 noisy-device"]).toBe(
      "not shown",
    );
  });
});

import { describe, expect, it } from "vitest";
import type { CauseKind } from "../../../src/diagnose/cause-kind.js";
import { causeKinds, findCause, predictedCauses } from "../../../src/diagnose/causes.js";
import type { NextCheck } from "../../../src/diagnose/checks/types.js";
import type { Cause } from "../../../src/diagnose/types.js";
import type { RoundFinding, RoundPath } from "../../../src/history/types.js";
import type { ControlReport } from "../../../src/measure/controls/types.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import type { FaultyControl } from "../../../src/service/plan/from-controls.js";
import { listPlanItems } from "../../../src/service/plan/items.js";
import { path, round } from "../limits/rounds.js";

// Expected worths: the rule in the doc comment of `worths`, worked out by hand. A path that wants
// service counts ten times its cause's probability, one to watch three times; a note six, a dead strip
// ten, a meter nine, a danger thirty; a control that breaks eight, a scratchy one six; two more for
// each further source. Oddness 30 counts half as much again, and nothing more than double.

const found = (parts: Partial<RoundFinding> = {}): RoundFinding => ({
  reading: "hiss",
  against: "siblings",
  value: -70,
  expected: -80,
  deviation: 10,
  unit: "dB",
  score: 20,
  severity: "service",
  words: "hiss 10 dB above its siblings",
  ...parts,
});
const cause = (id: string, parts: Partial<Cause> = {}): Cause => ({
  cause: id,
  name: findCause(id)?.name ?? id,
  kind: "fault",
  probability: 0.9,
  evidence: [],
  confirmBy: `settle ${id}`,
  ...parts,
});
const ailing = (
  name: string,
  causes: readonly Cause[],
  parts: Partial<RoundPath> = {},
): RoundPath => path({ path: name, findings: [found()], causes, ...parts });
const watched = (name: string, causes: readonly Cause[], parts: Partial<RoundPath> = {}) =>
  ailing(name, causes, { findings: [found({ severity: "watch" })], ...parts });
const notebook = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(
      lines
        .map((line, k) =>
          JSON.stringify({
            note: 1,
            id: `n${k + 1}`,
            date: "2031-03-14T12:00:00Z",
            kind: "fault",
            text: "",
            ...line,
          }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );
const none = notebook();
const of = (paths: readonly RoundPath[] | undefined, book = none, ...more: unknown[]) =>
  listPlanItems(paths && round(paths), book, ...(more as [undefined]));
const worthOf = (paths: readonly RoundPath[]) => of(paths).items.map(({ worth }) => worth);
const noisy = "noisy-device";

describe("the steps of an item", () => {
  // First what is seen with the desk in use, then open and powered, at last switched off: nobody
  // switches on again what he has opened and discharged.
  const order = ["in use", "powered and open", "unplugged", "bench"];
  it.each(predictedCauses.map(({ id }) => id))("go from power to none: %s", (id) => {
    const { items } = of([ailing("4/mic", [cause(id)])]);
    for (const { steps } of items) {
      const at = steps.map(({ power }) => order.indexOf(power));
      expect(at).not.toContain(-1);
      expect(at).toStrictEqual([...at].sort((a, b) => a - b));
    }
  });
});

describe("the worth of a path", () => {
  it.each([
    ["wants service", ailing("4/mic", [cause(noisy)]), 9],
    ["is to be watched", watched("4/mic", [cause(noisy)]), 2.7],
    ["has no cause: as likely as not", ailing("4/mic", []), 5],
    ["stands 30 away: half as much again", ailing("4/mic", [cause(noisy)], { oddness: 30 }), 13.5],
    ["stands 10 away: a quarter more", ailing("4/mic", [cause(noisy)], { oddness: 10 }), 11.3],
    ["stands very far away: double", ailing("4/mic", [cause(noisy)], { oddness: 1e9 }), 18],
  ])("that %s", (_, one, worth) => {
    // 9 × 1.25 = 11.25: to a tenth 11.3
    expect(worthOf([one])).toStrictEqual([worth]);
  });

  it("is that of the worse of two paths with one cause, in either order", () => {
    const [mic, line] = [
      ailing("4/mic", [cause(noisy, { probability: 0.5 })]),
      ailing("4/line", [cause(noisy, { probability: 0.8 })]),
    ];
    for (const paths of [
      [mic, line],
      [line, mic],
    ]) {
      const { items } = of(paths);
      expect(items).toMatchObject([{ worth: 8, probability: 0.8, urgency: "service" }]);
    }
    expect(of([ailing("4/mic", [])]).items[0]).not.toHaveProperty("probability");
  });

  it("stays urgent where another of its paths is only to be watched", () => {
    const both = of([watched("4/mic", [cause(noisy)]), ailing("4/line", [cause(noisy)])]);
    expect(both.items).toMatchObject([{ urgency: "service", paths: ["4/line", "4/mic"] }]);
    expect(of([watched("4/mic", [cause(noisy)])]).items[0].urgency).toBe("watch");
  });
});

describe("the worth of what is noted", () => {
  const worths = (...lines: readonly object[]) =>
    of(undefined, notebook(...lines)).items.map(({ worth }) => worth);
  const hum = { strip: "3", text: "hum" };

  it("is that of the gravest, and two more for each that speaks of it again", () => {
    expect(worths(hum)).toStrictEqual([6]);
    expect(worths({ strip: "3", text: "dead" })).toStrictEqual([10]);
    expect(worths(hum, hum)).toStrictEqual([8]);
    expect(worths(hum, hum, hum)).toStrictEqual([10]);
    expect(worths({ strip: "3", text: "smell of burning" })).toStrictEqual([30]);
    expect(of([ailing("3/mic", [cause("ground-hum")])], notebook(hum)).items[0].worth).toBe(11);
  });

  it("puts the worst first, of strips as of sections", () => {
    const { items, sections } = of(
      undefined,
      notebook(
        { strip: "3", text: "hum" },
        { strip: "5", text: "dead" },
        { strip: "4", text: "hiss" },
        { section: "group 1", sectionKind: "group", text: "hum" },
        { section: "group 2", sectionKind: "group", text: "smell of burning" },
      ),
    );
    expect(items.map(({ strip }) => strip)).toStrictEqual(["5", "3", "4"]);
    expect(sections.map(({ strip, worth }) => [strip, worth])).toStrictEqual([
      ["group 2", 30],
      ["group 1", 6],
    ]);
  });

  it("does not count what is closed, done, left alone or taken off", () => {
    expect(worths(hum, { kind: "close", closes: "n1", figures: [] })).toStrictEqual([]);
    expect(worths({ kind: "off", strip: "3", what: "hum" })).toStrictEqual([]);
    expect(worths({ kind: "repair", strip: "3", parts: [], text: "hum" })).toStrictEqual([]);
    expect(worths({ strip: "3", text: "no hum any more" })).toStrictEqual([]);
  });

  it("belongs to the item of its own input, or to one of the whole strip", () => {
    const mic = ailing("3/mic", [cause("ground-hum")]);
    const keys = (input?: string) =>
      of([mic], notebook({ ...hum, ...(input === undefined ? {} : { input }) })).items.map(
        ({ notes, paths, inputs }) => [paths.length, notes, inputs],
      );
    expect(keys("mic")).toStrictEqual([[1, ["n1"], ["mic"]]]);
    expect(keys()).toStrictEqual([[1, ["n1"], ["mic"]]]);
    // A second item of the same strip and cause has the same key, so the first takes it in.
    expect(of([mic], notebook({ ...hum, strip: "4" })).items).toHaveLength(2);
  });
});

describe("the worth of a control that a pass heard", () => {
  const heard = (verdicts: ControlReport["verdicts"], control = "fader"): FaultyControl => ({
    pass: "2031-04-01-01",
    date: "2031-04-01T12:00:00Z",
    path: "7/line",
    strip: "7",
    input: "line",
    report: {
      control,
      hand: "turn",
      fromS: 2,
      untilS: 8,
      moved: "seen",
      rangeDb: 30,
      scratches: { tone: 5, silence: 0 },
      dropouts: 0,
      jumps: 0,
      expected: 0,
      events: [],
      verdicts,
    },
  });
  it.each([
    [["scratchy"], 6, "watch"],
    [["drops out"], 8, "service"],
    [["jumps"], 8, "service"],
    [["scratchy", "jumps"], 8, "service"],
  ] as const)("as %s is %d", (verdicts, worth, urgency) => {
    const { items } = of(undefined, none, new Map(), [heard(verdicts)]);
    expect(items).toMatchObject([{ strip: "7", worth, urgency, inputs: ["line"] }]);
    expect(items[0].says).toHaveLength(1);
  });

  it("does not lessen what the round found urgent, and adds two", () => {
    const mic = ailing("7/mic", [cause("worn-gain-control")]);
    const { items } = of([mic], none, new Map(), [heard(["scratchy"], "gain")]);
    expect(items).toMatchObject([
      { key: "7 worn-gain-control", worth: 11, urgency: "service", inputs: ["mic", "line"] },
    ]);
    const low = watched("7/mic", [cause("worn-gain-control")]);
    expect(of([low], none, new Map(), [heard(["jumps"], "gain")]).items).toMatchObject([
      { worth: 10, urgency: "watch" },
    ]);
  });
});

describe("what is tried before the desk is opened", () => {
  const setting = (probability: number | undefined) => {
    const { probability: _, ...one } = cause("pad-in", { kind: "setting" });
    return probability === undefined ? one : { ...one, probability };
  };
  const tried = (causes: readonly Cause[], parts: Partial<RoundPath> = {}) =>
    of([ailing("4/mic", causes, parts)]).outside.flatMap(({ place, todo }) =>
      todo.code === "confirm" ? [[place, todo.by]] : [],
    );
  // Probabilities that come to more than one in all would be brought down to it.
  const likely = cause(noisy, { probability: 0.4 });

  it("is a setting at least 15 % likely, among the first three causes", () => {
    const asked = [["4/mic", "settle pad-in"]];
    expect(tried([likely, setting(0.15)])).toStrictEqual(asked);
    expect(tried([likely, setting(0.14)])).toStrictEqual([]);
    expect(tried([likely, setting(undefined)])).toStrictEqual([]);
    const more = [likely, cause("crossover-distortion", { probability: 0.3 })];
    expect(tried([...more, setting(0.2)])).toStrictEqual(asked);
    expect(
      tried([...more, cause("smooth-distortion", { probability: 0.25 }), setting(0.2)]),
    ).toStrictEqual([]);
    // A fault is no setting, however likely.
    expect(tried([likely, cause("crossover-distortion", { probability: 0.5 })])).toStrictEqual([]);
  });

  const next = (check: string, power: NextCheck["power"] = "in use"): NextCheck => ({
    check,
    power,
    minutes: 2,
    savesMinutes: 10,
    gainPerMinute: 5,
    bits: 0.5,
    todo: `do ${check}`,
    outcomes: [],
    others: [],
  });

  it("is the check that pays, and not again what that check sets right", () => {
    const causes = [likely, setting(0.2), cause("open-leg", { probability: 0.1 })];
    // The pad switched off puts a pad that was left in right in 95 of 100 cases, another input in 90,
    // a look at the marks in 5: the cause's own file.
    expect(tried(causes, { next: next("pad") })).toStrictEqual([["4/mic", "do pad"]]);
    expect(tried(causes, { next: next("marks") })).toStrictEqual([
      ["4/mic", "do marks"],
      ["4/mic", "settle pad-in"],
    ]);
    expect(tried(causes, { next: next("settle:noisy-device", "powered and open") })).toStrictEqual([
      ["4/mic", "settle pad-in"],
    ]);
    const [one] = of([ailing("4/mic", causes, { next: next("pad") })]).outside;
    expect(one).toMatchObject({
      kind: "try first",
      name: { code: "is-it", causes: causes.slice(0, 2).map(({ name }) => name) },
      next: { check: "pad" },
    });
  });

  it("is what the cause itself asks for, unless a check of the path stands for it", () => {
    const codes = (parts: Partial<RoundPath> = {}) =>
      of([ailing("4/mic", [likely, setting(0.2)], parts)]).outside.map(({ todo }) => todo.code);
    expect(codes()).toStrictEqual(["confirm", "try"]);
    expect(codes({ next: next("pad") })).toStrictEqual(["confirm"]);
  });

  it("is no check any more once a meter has spoken", () => {
    const rail = {
      kind: "meter",
      strip: "4",
      what: "rail",
      values: [{ at: "plus", value: 17, unit: "V", nominal: 17 }],
    };
    const mic = ailing("4/mic", [likely], { next: next("again") });
    const isAsked = (book = none) => of([mic], book).outside.some((one) => one.next !== undefined);
    expect(isAsked()).toBe(true);
    expect(isAsked(notebook(rail))).toBe(false);
    expect(isAsked(notebook({ ...rail, strip: "5" }))).toBe(true);
  });

  it("is nothing of what a re-test has proven mended, and all of what it has not", () => {
    const mic = ailing("4/mic", [likely, setting(0.2)], { next: next("again") });
    const done = new Map([[`4 ${noisy}`, "2031-03-20"]]);
    expect(of([mic], none, done)).toMatchObject({ items: [], outside: [] });
    const patched = ailing("5/mic", [cause("pad-in", { kind: "setting" })]);
    expect(of([patched], none, done).outside).toMatchObject([{ kind: "setting" }]);
    const set = new Map([["5 pad-in/mic", "2031-03-20"]]);
    expect(of([patched], none, set).outside).toStrictEqual([]);
    const onLine = new Map([["5 pad-in/line", "2031-03-20"]]);
    expect(of([patched], none, onLine).outside).toHaveLength(1);
    const nothing = ailing("4/mic", [], { next: next("again") });
    expect(of([nothing], none, new Map([["4 not-clear", "2031-03-20"]])).outside).toStrictEqual([]);
  });

  it.each([
    ["setting", "setting"],
    ["patch", "patch"],
    ["recording", "record again"],
  ] as const)("of a cause of the kind %s is a question of the kind %s", (kind, asked) => {
    const { items, outside } = of([ailing("4/mic", [cause("pad-in", { kind } as never)])]);
    expect(items).toStrictEqual([]);
    expect(outside).toMatchObject([{ place: "4/mic", kind: asked, needs: ["recording set-up"] }]);
  });

  it("needs nothing ready where its cause is not known", () => {
    const odd = ailing("4/mic", [cause("of-another-year", { kind: "setting" })]);
    expect(of([odd]).outside[0]).not.toHaveProperty("needs");
  });

  it("is nothing of a strip that is left off, and elsewhere as before", () => {
    const paths = ["4/mic", "5/mic"].map((name) => ailing(name, [likely, setting(0.2)]));
    const burnt = notebook({ strip: "4", text: "smell of burning" });
    const places = (book = none) => new Set(of(paths, book).outside.map(({ place }) => place));
    expect([...places()]).toStrictEqual(["4/mic", "5/mic"]);
    expect([...places(burnt)]).toStrictEqual(["5/mic"]);
  });
});

describe("what a mended strip shows again", () => {
  const done = new Map([["3 ground-hum", "2031-03-20"]]);
  const keys = (date: string) =>
    of(undefined, notebook({ strip: "3", text: "hum", date: `${date}T12:00:00Z` }), done).items.map(
      ({ key }) => key,
    );

  it("counts from the day after the proof", () => {
    expect(keys("2031-03-19")).toStrictEqual([]);
    expect(keys("2031-03-20")).toStrictEqual([]);
    expect(keys("2031-03-21")).toStrictEqual(["3 ground-hum"]);
  });
});

describe("a control that a second play found idle", () => {
  const idle = (more: object = {}) =>
    notebook({
      kind: "check",
      strip: "4",
      input: "mic",
      round: "2031-03-14-01",
      check: "pan",
      outcome: "idle",
      figures: ["changed by 0 dB"],
      ...more,
    });
  const sound = path({ path: "4/mic" });

  it("is an item on a path on which nothing else stands out", () => {
    expect(of([sound], idle()).items).toMatchObject([
      {
        key: "4 send-or-pan-faulty",
        worth: 8,
        urgency: "watch",
        inputs: ["mic"],
        notes: ["n1"],
        says: [{ code: "idle", note: "n1", check: "pan", figures: ["changed by 0 dB"] }],
      },
    ]);
    // What is sure has its parts ready.
    const bench = findCause("send-or-pan-faulty")?.bench;
    expect(of([sound], idle()).items[0].parts).toStrictEqual(bench?.parts);
  });

  it.each([
    ["showed something", { outcome: "stays" }],
    ["was of another round", { round: "2030-01-01-01" }],
    ["is one that no cause leaves idle", { check: "again" }],
    ["names no strip", { strip: undefined }],
  ])("is none where the check %s", (_, more) => {
    expect(of([sound], idle(more)).items).toStrictEqual([]);
  });

  it("is none on a path that is odd in another way, but for a remark", () => {
    expect(of([ailing("4/mic", [cause(noisy)])], idle()).items.map(({ key }) => key)).toStrictEqual(
      ["4 noisy-device"],
    );
    const remarked = ailing("4/mic", [], { findings: [found({ severity: "remark" })] });
    expect(of([remarked], idle()).items).toHaveLength(1);
  });
});

describe("what a meter showed", () => {
  const meter = (what: string, values: readonly object[], more: object = {}) =>
    notebook({ kind: "meter", strip: "6", what, values, ...more });
  const part = (more: object = {}) =>
    meter("resistor", [{ at: "value", value: 9000, unit: "Ω", nominal: 5700 }], more);

  it("of a part that is off is worth nine, and urgent, under the part's own name", () => {
    // 5.7 kΩ is none of E24; 5.6 kΩ is (IEC 60063).
    expect(of(undefined, part({ part: "R14", input: "mic" })).items).toMatchObject([
      {
        key: "6 part-r14",
        worth: 9,
        urgency: "service",
        inputs: ["mic"],
        notes: ["n1"],
        namedParts: [{ part: "R14", value: "5.6 kΩ" }],
        named: ["R14 5.6 kΩ"],
      },
    ]);
    const [plain] = of(undefined, part()).items;
    expect(plain).toMatchObject({ key: "6 part-resistor", inputs: [] });
    expect(plain.says.map(({ code }) => code)).toStrictEqual(["metered", "points-to"]);
    expect(plain.says[0]).not.toHaveProperty("part");
  });

  it("of a part on no strip, or that nobody can judge, pulls no strip", () => {
    const nowhere = of(undefined, part({ strip: undefined }));
    expect(nowhere.items).toStrictEqual([]);
    expect(nowhere.outside).toMatchObject([
      { place: "desk", kind: "desk", measured: "out", todo: { code: "points-to" } },
    ]);
    const bare = of(undefined, meter("resistor", [{ at: "value", value: 9000, unit: "Ω" }]));
    expect(bare).toMatchObject({ items: [], outside: [] });
  });

  it.each([
    [12, []],
    [4, ["rails-unusual"]],
  ])("of a rail at %d V that nobody can judge tells what is odd: %j", (value, odd) => {
    const found = of(undefined, meter("rail", [{ at: "plus", value, unit: "V" }]));
    expect(found.items).toStrictEqual([]);
    expect(found.outside).toMatchObject([
      { place: "6", measured: "unjudged", kind: "desk", todo: { code: "judge-first" } },
    ]);
    const [{ todo }] = found.outside;
    expect(todo.code === "judge-first" && todo.remarks.map(({ code }) => code)).toStrictEqual(odd);
  });

  it("of a voltage between unlike pins is the cause that such a reading settles", () => {
    // 48 V within 4 V each, but 1.8 V apart: IEC 61938 wants the feeds matched within 0.4 %.
    const unlike = meter("phantom", [
      { at: "pin 2", value: 46, unit: "V", nominal: 48 },
      { at: "pin 3", value: 47.8, unit: "V", nominal: 48 },
    ]);
    expect(of(undefined, unlike).items).toMatchObject([
      { cause: "phantom-supply-off", urgency: "service", worth: 9 },
    ]);
  });

  it("of a rail above its voltage is the supply's, and of one below it the strip's", () => {
    const rail = (value: number) =>
      of(undefined, meter("rail", [{ at: "plus", value, unit: "V", nominal: 15 }]));
    expect(rail(18)).toMatchObject({
      items: [],
      outside: [{ place: "6", name: { code: "rail-too-high" }, kind: "desk", measured: "out" }],
    });
    expect(rail(12)).toMatchObject({ items: [{ key: "6 supply-rail-off" }], outside: [] });
    expect(rail(15)).toMatchObject({ items: [], outside: [] });
  });

  it("of too much phantom stands at its input, or at the strip", () => {
    const high = (more: object) =>
      of(
        undefined,
        meter("phantom", [{ at: "pin 2", value: 53, unit: "V", nominal: 48 }], more),
      ).outside.map(({ place, measured }) => [place, measured]);
    expect(high({})).toStrictEqual([["6", "out"]]);
    expect(high({ input: "mic" })).toStrictEqual([["6/mic", "out"]]);
  });
});

describe("what a note leaves open", () => {
  const outside = (line: object) => of(undefined, notebook(line)).outside;

  it("is asked for where its words name no fault", () => {
    expect(outside({ strip: "6", text: "ask Jo about it" })).toMatchObject([
      { place: "6", kind: "look at", todo: { code: "name-it", note: "n1" } },
    ]);
  });

  it("is first aid where it speaks of the desk at large", () => {
    expect(outside({ text: "hum" })).toMatchObject([
      { place: "desk", kind: "desk", name: { date: "2031-03-14" }, todo: { code: "first-aid" } },
    ]);
  });

  it("is no input of a strip where a bus or a group speaks", () => {
    const causeAt = (sectionKind: string, text: string) =>
      of(undefined, notebook({ section: "there", sectionKind, text })).sections[0].cause;
    // Level lost: one open leg of an input, but a bus has none.
    const kinds = ["bus", "group", "send", "master", "monitor"].map((kind) =>
      causeAt(kind, "level 6 dB low"),
    );
    expect(new Set(kinds).size).toBe(1);
    expect(kinds[0]).not.toBe("open-leg");
    const strip = of(undefined, notebook({ strip: "3", text: "level 6 dB low" })).items[0].cause;
    expect(strip).toBe(causeAt("other", "level 6 dB low"));
  });
});

describe("an item as a whole", () => {
  const bench = (id: string) => findCause(id)?.bench;

  it("of a path has its cause's own record, with what the round found", () => {
    const made = cause(noisy, {
      where: "mic input stage",
      care: "mind the rails",
    } as Partial<Cause>);
    const [one] = of([ailing("4/mic", [made])]).items;
    expect(one).toMatchObject({
      key: "4 noisy-device",
      strip: "4",
      inputs: ["mic"],
      cause: noisy,
      name: { code: "cause", name: findCause(noisy)?.name },
      urgency: "service",
      probability: 0.9,
      worth: 9,
      minutes: bench(noisy)?.minutes,
      where: "mic input stage",
      settle: "settle noisy-device",
      replace: bench(noisy)?.repair,
      risks: [...(bench(noisy)?.risks ?? []), "mind the rails"],
      parts: bench(noisy)?.parts,
      named: [],
      paths: ["4/mic"],
      notes: [],
      says: [{ code: "found", path: "4/mic", findings: [found()] }],
    });
    expect(one.steps.map(({ text }) => text)).toContain("settle noisy-device");
    for (const key of ["sectionKind", "namedParts"]) expect(one).not.toHaveProperty(key);
    const [plain] = of([ailing("4/mic", [cause(noisy)])]).items;
    expect(plain).not.toHaveProperty("where");
    expect(plain.risks).toStrictEqual(bench(noisy)?.risks);
  });

  it("says a caution once: not beside a risk or a step that has it", () => {
    const risks = (id: string, care: string) =>
      of([ailing("4/mic", [cause(id, { care } as Partial<Cause>)])]).items[0].risks;
    for (const { id } of predictedCauses) {
      const guide = findCause(id)?.bench;
      if (guide === undefined) continue;
      const said = [...guide.risks, ...guide.steps.flatMap(({ danger }) => danger ?? [])];
      for (const care of said) expect(risks(id, care)).toStrictEqual(guide.risks);
      expect(risks(id, "mind the rails")).toStrictEqual([...guide.risks, "mind the rails"]);
    }
  });

  it("says three findings of a path at most, and no remark", () => {
    const three = ["a", "b", "c"].map((words) => found({ words }));
    const remark = found({ severity: "remark", words: "no more than that" });
    const findings = (list: readonly RoundFinding[]) =>
      of([ailing("4/mic", [cause(noisy)], { findings: list })]).items[0].says[0];
    expect(findings([remark, ...three])).toMatchObject({ findings: three });
    expect(findings([...three, found({ words: "d" })])).toMatchObject({ findings: three });
  });

  it("of a path without a cause is not clear, and so is one of another year under its own name", () => {
    const [unclear] = of([ailing("4/mic", [])]).items;
    expect(unclear).toMatchObject({ key: "4 not-clear", name: { code: "not-clear" } });
    const [old] = of([ailing("4/mic", [cause("moon-phase", { name: "wrong phase" })])]).items;
    expect(old).toMatchObject({ name: { code: "cause", name: "wrong phase" } });
  });

  it("has what is tried first in words and as something outside, at its only input or its strip", () => {
    const hum = cause("ground-hum");
    const outside = (paths: readonly RoundPath[]) =>
      of(paths).outside.map(({ place, todo, kind }) => [place, todo.code, kind]);
    expect(outside([ailing("4/mic", [hum])])).toStrictEqual([["4/mic", "try", "try first"]]);
    expect(outside([ailing("4/mic", [hum]), ailing("4/line", [hum])])).toStrictEqual([
      ["4", "try", "try first"],
    ]);
    const { items, outside: asked } = of([ailing("4/mic", [hum])]);
    const inUse = items[0].steps.filter(({ power }) => power === "in use");
    expect(inUse.length).toBeGreaterThan(0);
    expect(asked).toStrictEqual([
      {
        place: "4/mic",
        name: items[0].name,
        todo: { code: "try", steps: inUse },
        kind: "try first",
        needs: inUse.flatMap(({ needs = [] }) => needs),
      },
    ]);
    const before = items[0].before?.toLowerCase();
    for (const { text } of inUse) expect(before).toContain(text.toLowerCase());
    for (const { text } of items[0].steps.filter(({ power }) => power !== "in use")) {
      expect(before).not.toContain(text.toLowerCase());
    }
    // Two steps with the same tool need it once.
    const [worn] = of(undefined, notebook({ strip: "3", text: "pan scratchy" })).outside;
    expect(worn.needs).toStrictEqual(["recording set-up"]);
    // Noise by itself needs nothing ready, a part that is off nothing in use.
    const [noise] = of(undefined, notebook({ strip: "3", text: "hiss" })).outside;
    expect(noise).not.toHaveProperty("needs");
    const burnt = of(undefined, notebook({ strip: "3", text: "smell of burning" }));
    expect(burnt.items[0]).not.toHaveProperty("before");
    expect(burnt.outside).toStrictEqual([]);
  });

  it("is not tried where the path is to be recorded again", () => {
    const mic = path({ path: "4/mic", status: "missing", reason: "not recorded" });
    const { items, outside } = of([mic], notebook({ strip: "4", input: "mic", text: "hum" }));
    expect(items.map(({ key }) => key)).toStrictEqual(["4 ground-hum"]);
    expect(outside).toStrictEqual([
      {
        place: "4/mic",
        name: { code: "not-measured", ...(outside[0].name as object) },
        todo: { code: "record-again" },
        kind: "record again",
      },
    ]);
    // Another input's is.
    const line = notebook({ strip: "4", input: "line", text: "hum" });
    expect(of([mic], line).outside.map(({ place }) => place)).toStrictEqual(["4/mic", "4/line"]);
  });

  it("has tools of a check and of a cause by their own records", () => {
    const setting = cause("pad-in", { kind: "setting", probability: 0.3 });
    const [asked] = of([ailing("4/mic", [cause(noisy, { probability: 0.4 }), setting])]).outside;
    expect(asked).toStrictEqual({
      place: "4/mic",
      name: { code: "cause", name: setting.name },
      todo: { code: "confirm", by: "settle pad-in" },
      kind: "try first",
      needs: findCause("pad-in")?.settle.needs,
    });
  });
});

describe("a note as an item", () => {
  const told = (line: object, more: object = {}) => of(undefined, notebook({ ...line, ...more }));

  it("keeps its words on one line, its day and what was understood", () => {
    const [one] = told({ strip: "3", input: "mic", text: "  hum \n again " }).items;
    expect(one).toMatchObject({
      key: "3 ground-hum",
      inputs: ["mic"],
      urgency: "noted",
      worth: 6,
      paths: [],
      notes: ["n1"],
      parts: [],
    });
    expect(one.says).toStrictEqual([
      { code: "noted", note: "n1", date: "2031-03-14", text: "hum again", symptom: "hum" },
    ]);
    expect(one).not.toHaveProperty("probability");
    const [fader] = told({ strip: "3", text: "fader scratchy" }).items;
    expect(fader).toMatchObject({
      key: "3 control-fader",
      name: { code: "noted-control", control: "fader" },
      inputs: [],
    });
    expect(fader.says[0]).toMatchObject({ control: "fader", symptom: "scratch" });
    // What is sure has its parts ready.
    expect(fader.parts).toStrictEqual(findCause("worn-control")?.bench?.parts);
    expect(told({ strip: "3", text: "crosstalk" }).items).toMatchObject([
      { key: "3 noted-n1", name: { code: "noted", text: "crosstalk", symptom: "crosstalk" } },
    ]);
  });

  it("joins what the round or a pass found of any of its causes, at its own input", () => {
    // A hum may be the ripple that the round found on the line input.
    const line = ailing("3/line", [cause("supply-ripple")]);
    const keys = (more: object) =>
      of([line], notebook({ strip: "3", text: "hum", ...more })).items.map(({ key, notes }) => [
        key,
        notes.length,
      ]);
    expect(keys({})).toStrictEqual([["3 supply-ripple", 1]]);
    expect(keys({ input: "line" })).toStrictEqual([["3 supply-ripple", 1]]);
    expect(keys({ input: "mic" })).toStrictEqual([
      ["3 supply-ripple", 0],
      ["3 ground-hum", 1],
    ]);
    expect(keys({ strip: "4" })).toStrictEqual([
      ["3 supply-ripple", 0],
      ["4 ground-hum", 1],
    ]);
  });

  it("of a danger is that alone, whatever else it says, and keeps its place", () => {
    const { items, outside } = told({ strip: "3", input: "mic", text: "hums, smell of burning" });
    expect(items).toMatchObject([
      {
        key: "3 danger-n1",
        inputs: ["mic"],
        urgency: "service",
        worth: 30,
        notes: ["n1"],
        name: { code: "danger", dangers: ["burning"] },
        says: [{ code: "noted", note: "n1", date: "2031-03-14", text: "hums, smell of burning" }],
        parts: [],
      },
    ]);
    expect(outside).toStrictEqual([]);
    const group = told({ section: "group 2", sectionKind: "group", text: "smell of burning" });
    expect(group.items).toStrictEqual([]);
    expect(group.sections).toMatchObject([{ key: "group 2 danger-n1", sectionKind: "group" }]);
    const desk = told({ text: "smell of burning" });
    expect([desk.items, desk.sections]).toStrictEqual([[], []]);
  });

  it("of a section has its kind, and orders no part at a supply or automation", () => {
    const at = (sectionKind: string | undefined, text: string) =>
      told({ section: "there", text, ...(sectionKind === undefined ? {} : { sectionKind }) })
        .sections[0];
    expect(at("group", "fader scratchy")).toMatchObject({
      strip: "there",
      sectionKind: "group",
      parts: findCause("worn-control")?.bench?.parts,
    });
    expect(at(undefined, "fader scratchy").sectionKind).toBe("other");
    for (const kind of ["supply", "automation"]) {
      expect(at(kind, "fader scratchy")).toMatchObject({
        sectionKind: kind,
        parts: [],
        name: { code: "noted", text: "fader scratchy", control: "fader", symptom: "scratch" },
      });
    }
    expect(at("group", "hum").name).toMatchObject({ code: "cause" });
  });

  it("asks for the reading of a part that it names, or for other words", () => {
    const todo = (text: string) => told({ strip: "6", input: "mic", text }).outside;
    expect(todo("R7 is off value")).toStrictEqual([
      {
        place: "6/mic",
        name: { code: "of-note", note: "n1", date: "2031-03-14", text: "R7 is off value" },
        todo: {
          code: "measure-part",
          note: "n1",
          place: "6/mic",
          part: { name: "R7", what: "resistor" },
        },
        kind: "look at",
      },
    ]);
    expect(todo("ask Jo  about it")[0]).toMatchObject({
      name: { text: "ask Jo about it" },
      todo: { code: "name-it", note: "n1" },
    });
    expect(told({ text: "ask Jo about it" }).outside[0]).toMatchObject({
      place: "desk",
      kind: "look at",
    });
  });
});

describe("what stays outside while a danger is open", () => {
  const setting = (name: string) => ailing(name, [cause("pad-in", { kind: "setting" })]);
  const rail = {
    kind: "meter",
    strip: "4",
    what: "rail",
    values: [{ at: "plus", value: 18, unit: "V", nominal: 15 }],
  };
  const told = (danger: object) =>
    of([setting("4/mic"), setting("5/mic")], notebook(rail, { text: "hum" }, danger)).outside.map(
      ({ place, todo }) => [place, todo.code],
    );

  it("is only what was seen at its own strip, and all of the rest", () => {
    expect(told({ strip: "4", text: "resistor hot, brown" })).toStrictEqual([
      ["4/mic", "power-off"],
      ["5/mic", "confirm"],
      ["4", "supply"],
      ["desk", "first-aid"],
    ]);
    // A shock keeps all of the desk off.
    expect(told({ strip: "9", text: "got a belt off the metal" })).toStrictEqual([
      ["4/mic", "power-off"],
      ["5/mic", "power-off"],
      ["4", "supply"],
      ["desk", "power-off"],
    ]);
  });

  it("names the notes for which it waits", () => {
    const two = notebook(
      { strip: "4", text: "resistor hot, brown" },
      { strip: "4", text: "smell of burning" },
      { strip: "5", text: "smell of burning" },
    );
    const [first] = of([setting("4/mic")], two).outside;
    expect(first).toMatchObject({
      kind: "setting",
      todo: { code: "power-off", notes: ["n1", "n2"] },
    });
  });
});

describe("what a reading of the meter leaves outside", () => {
  it("keeps a part that reads off after its re-test, until a reading is in order", () => {
    const off = {
      kind: "meter",
      strip: "6",
      what: "resistor",
      part: "R14",
      values: [{ at: "value", value: 9000, unit: "Ω", nominal: 5600 }],
    };
    const done = new Map([["6 part-r14", "2031-04-01"]]);
    expect(of(undefined, notebook(off), done).items).toHaveLength(1);
    const sound = { ...off, values: [{ ...off.values[0], value: 5600 }] };
    expect(of(undefined, notebook(off, sound), done).items).toStrictEqual([]);
  });

  it("of no strip is told with its points, or asks for what feeds it", () => {
    const at = (what: string, values: readonly object[], part?: string) =>
      of(
        undefined,
        notebook({ kind: "meter", what, values, ...(part === undefined ? {} : { part }) }),
      ).outside;
    const [resistor] = at(
      "resistor",
      [{ at: "value", value: 9000, unit: "Ω", nominal: 5600 }],
      "R14",
    );
    expect(resistor).toMatchObject({
      place: "desk",
      name: { code: "metered", note: "n1", what: "resistor", part: "R14" },
      kind: "desk",
      measured: "out",
    });
    const [rail] = at("rail", [{ at: "plus", value: 12, unit: "V", nominal: 15 }], "TP3");
    expect(rail.name).not.toHaveProperty("part");
    expect(rail.todo.code).toMatch(/^(points-to|find-feed)$/);
  });

  it("adds its two to what the round found of the same cause, and stays with its notes", () => {
    const mic = ailing("6/mic", [cause("phantom-supply-off", { probability: 0.5 })]);
    const low = {
      kind: "meter",
      strip: "6",
      input: "mic",
      what: "phantom",
      values: [
        { at: "pin 2", value: 31, unit: "V", nominal: 48 },
        { at: "pin 3", value: 47, unit: "V", nominal: 48 },
      ],
    };
    const [both] = of([mic], notebook(low)).items;
    expect(both).toMatchObject({
      key: "6 phantom-supply-off",
      notes: ["n1"],
      paths: ["6/mic"],
      urgency: "service",
    });
    // Ten times what the cause is now likely by, and two.
    const { probability = Number.NaN, worth } = both;
    expect(probability).toBeGreaterThan(0.9);
    expect(worth).toBeCloseTo(10 * probability + 2, 9);
  });
});

describe("an idle control beside others", () => {
  it("adds to what the round found urgent of the same cause", () => {
    const idle = notebook({
      kind: "check",
      strip: "4",
      input: "mic",
      round: "2031-03-14-01",
      check: "pan",
      outcome: "idle",
      figures: [],
    });
    const paths = [path({ path: "4/mic" }), ailing("4/line", [cause("send-or-pan-faulty")])];
    expect(of(paths, idle).items).toMatchObject([
      { key: "4 send-or-pan-faulty", worth: 11, urgency: "service", inputs: ["line", "mic"] },
    ]);
    // Without a round there is none that it could be of.
    expect(of(undefined, idle).items).toStrictEqual([]);
  });
});

describe("what an item leaves out", () => {
  // Keys that do not apply are absent, not undefined: the data goes into files.
  const told = (...lines: readonly object[]) => of(undefined, notebook(...lines));

  it("is a control or a symptom that a note does not name, an input, and a kind of section", () => {
    const [hum] = told({ strip: "3", text: "hum" }).items;
    expect(hum.says).toStrictEqual([
      { code: "noted", note: "n1", date: "2031-03-14", text: "hum", symptom: "hum" },
    ]);
    const [danger] = told({ strip: "3", text: "smell of burning" }).items;
    expect(danger.inputs).toStrictEqual([]);
    expect(danger).not.toHaveProperty("sectionKind");
    expect(danger.says).toStrictEqual([
      { code: "noted", note: "n1", date: "2031-03-14", text: "smell of burning" },
    ]);
    const [section] = told({ section: "there", text: "smell of burning" }).sections;
    expect(section).not.toHaveProperty("sectionKind");
    const [asked] = told({ strip: "6", text: "ask Jo about it" }).outside;
    expect(asked.name).toStrictEqual({
      code: "of-note",
      note: "n1",
      date: "2031-03-14",
      text: "ask Jo about it",
    });
  });

  it("is what a voltage has no word for: a part, and a point that it does not point to", () => {
    const rail = { at: "plus", value: 12, unit: "V", nominal: 15 };
    const [low] = told({
      kind: "meter",
      strip: "6",
      what: "rail",
      part: "TP3",
      values: [rail],
    }).items;
    expect(low.named).toStrictEqual([]);
    expect(low).not.toHaveProperty("namedParts");
    for (const one of low.says) expect(JSON.parse(JSON.stringify(one))).toStrictEqual(one);
    expect(low.inputs).toStrictEqual([]);
  });

  it("is what a control does not tell: it is sure, and has its parts ready", () => {
    const heard: FaultyControl = {
      pass: "2031-04-01-01",
      date: "2031-04-01T12:00:00Z",
      path: "7/line",
      strip: "7",
      input: "line",
      report: {
        control: "fader",
        hand: "turn",
        fromS: 2,
        untilS: 8,
        moved: "seen",
        rangeDb: 30,
        scratches: { tone: 5, silence: 0 },
        dropouts: 0,
        jumps: 0,
        expected: 0,
        events: [],
        verdicts: ["scratchy"],
      },
    };
    const [one] = of(undefined, none, new Map(), [heard]).items;
    expect(one.parts).toStrictEqual(findCause("worn-control")?.bench?.parts);
    expect(one.parts).not.toStrictEqual([]);
  });
});

describe("the words for where to look", () => {
  it.each(predictedCauses.map(({ id }) => id))("hold no step in use: %s", (id) => {
    const [one] = of([ailing("4/mic", [cause(id)])]).items;
    const steps = findCause(id)?.bench?.steps ?? [];
    // Each step is one sentence or more that begins with a capital.
    const words = (text: string) => text.toLowerCase().replace(/\.$/, "");
    for (const { power, text } of steps) {
      expect(one.look.toLowerCase().includes(words(text)), text).toBe(power !== "in use");
    }
  });
});

describe("a reading that cannot be judged", () => {
  it.each([
    ["a rail", "rail", { at: "plus", value: 9, unit: "V" }, ["unjudged"]],
    ["an offset before a gain", "direct", { at: "value", value: 0.1, unit: "V" }, ["unjudged"]],
    ["a part", "resistor", { at: "value", value: 9000, unit: "Ω" }, []],
  ])("leaves a question outside for %s, none for parts", (_, what, value, measured) => {
    const line = { kind: "meter", strip: "6", what, part: "mic gain", values: [value] };
    const found = of(undefined, notebook(line));
    expect(found.items).toStrictEqual([]);
    expect(found.outside.map((one) => one.measured)).toStrictEqual(measured);
  });

  it("tells of rails that are unlike each other", () => {
    const values = [
      { at: "plus", value: 15, unit: "V" },
      { at: "minus", value: -9, unit: "V" },
    ];
    const [{ todo }] = of(
      undefined,
      notebook({ kind: "meter", strip: "6", what: "rail", values }),
    ).outside;
    expect(todo.code === "judge-first" && todo.remarks.map(({ code }) => code)).toContain(
      "rails-unlike",
    );
  });
});

describe("a check that a second play left idle", () => {
  const idle = {
    kind: "check",
    strip: "4",
    input: "mic",
    round: "2031-03-14-01",
    check: "pan",
    outcome: "idle",
    figures: [],
  };
  const sound = path({ path: "4/mic" });
  const keys = (...lines: readonly object[]) =>
    of([sound], notebook(...lines)).items.map(({ key, inputs }) => [key, inputs]);

  it("is closed by a repair, and belongs to the strip where it names no input", () => {
    expect(keys(idle)).toStrictEqual([["4 send-or-pan-faulty", ["mic"]]]);
    expect(keys(idle, { kind: "close", closes: "n1", figures: [] })).toStrictEqual([]);
    expect(keys({ ...idle, input: undefined })).toStrictEqual([["4 send-or-pan-faulty", []]]);
  });

  it("is what any of the checks that leave its cause idle says", () => {
    for (const { id, idles = [] } of causeKinds as readonly CauseKind[]) {
      for (const check of idles) {
        const first = causeKinds.find((one: CauseKind) => one.idles?.includes(check))?.id;
        expect(keys({ ...idle, check }), `${id}: ${check}`).toStrictEqual([
          [`4 ${first}`, ["mic"]],
        ]);
      }
    }
  });
});

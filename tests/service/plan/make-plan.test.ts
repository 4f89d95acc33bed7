import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { parseStripDown } from "../../../src/desk/strip-down/read-strip-down.js";
import { benchToolIds } from "../../../src/diagnose/bench-tools.js";
import { findCause } from "../../../src/diagnose/causes.js";
import type { Round, RoundPath, RoundShared } from "../../../src/history/types.js";
import type { ControlReport } from "../../../src/measure/controls/types.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { makePlan, type PlanInput } from "../../../src/service/plan/plan.js";
import { path as healthy, round } from "../limits/rounds.js";

// Minutes are added by hand: opening 30, a strip out and back 10, an input tested 1 (the desk file
// below and `testMinutesPerInput`), and at the bench as the cause's own record says.

const head = `name: The Quillmere desk
mains: 50
strips: 8
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`;
const construction = (more = "") =>
  `construction:
  open: 30
  pull: 10
  parts:
    panel: { strips: 5-8, minutes: 20 }
    card: { strips: 7-8, minutes: 15, kind: card }
${more}`;
const deskOf = (text: string) => parseDesk(head + text, "desk.yaml");
const desk = deskOf(construction());

const notes = (...lines: readonly object[]) =>
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
const at = (strip: string, text: string, more: object = {}) => ({ strip, text, ...more });
const master = { section: "master", sectionKind: "master", text: "left side crackles" };
const fan = { section: "supply", sectionKind: "supply", text: "fan noisy" };
const resistor = (strip: string, part: string) => ({
  kind: "meter",
  strip,
  what: "resistor",
  part,
  values: [{ at: "value", value: 13_000, unit: "Ω", nominal: 10_000 }],
});
const plan = (book = notes(), more: Partial<PlanInput> = {}) =>
  makePlan({
    desk,
    round: undefined,
    notebook: book,
    done: new Map(),
    date: "2031-06-01",
    ...more,
  });
const ailing = (name: string, cause: string, parts: Partial<RoundPath> = {}): RoundPath => ({
  ...healthy({ path: name, readings: {} }),
  findings: [
    {
      reading: "hiss",
      against: "siblings",
      value: -70,
      expected: -80,
      deviation: 10,
      unit: "dB",
      score: 20,
      severity: "service",
      words: "hiss 10 dB above its siblings",
    },
  ],
  causes: [
    { cause, name: cause, kind: "fault", probability: 0.9, evidence: [], confirmBy: "look" },
  ],
  ...parts,
});
const bench = (cause: string) => findCause(cause)?.bench?.minutes ?? Number.NaN;
const [hum, hiss, dead] = ["ground-hum", "noisy-device", "no-signal"].map(bench);
const stripsOf = ({ steps }: ReturnType<typeof plan>) =>
  steps.flatMap((step) => (step.kind === "strip" ? [step] : []));
const turnsOf = ({ steps }: ReturnType<typeof plan>) =>
  steps.map((step) => (step.kind === "off" ? step.part.name : step.strip));

describe("a plan with nothing to do", () => {
  it("opens nothing, takes no time, and has no key that says nothing", () => {
    expect(plan()).toStrictEqual({
      format: "deskround-plan",
      version: 1,
      desk: "The Quillmere desk",
      strips: ["1", "2", "3", "4", "5", "6", "7", "8"],
      date: "2031-06-01",
      round: null,
      passes: [],
      openNotes: 0,
      hours: null,
      minutes: 0,
      openMinutes: 0,
      cautions: expect.any(Array),
      remarks: [],
      outside: [],
      steps: [],
      left: [],
      parts: [],
      tools: [],
      phases: [],
      ageing: [],
      // Without a round nothing is known of the paths.
      untold: [{ code: "no-round" }],
    });
  });

  it("names the round it was made from, with what strips have in common there", () => {
    const made: Round = { ...round([healthy({ path: "1/mic" })]), remarks: ["all dull"] };
    expect(plan(notes(), { round: made })).toMatchObject({
      round: made.id,
      remarks: ["all dull"],
    });
  });
});

describe("the minutes of a plan", () => {
  it("count the desk, each strip, its inputs and its jobs", () => {
    const one = plan(notes(at("3", "hum")));
    expect(one).toMatchObject({ openMinutes: 30, minutes: 30 + 10 + 2 + hum });
    expect(stripsOf(one)).toMatchObject([{ strip: "3", pullMinutes: 10, testMinutes: 2 }]);
    expect(stripsOf(one)[0]).not.toHaveProperty("boards");
    const two = plan(notes(at("3", "hum"), at("3", "fader scratchy"), at("2", "hiss")));
    const fader = stripsOf(two)[1].items.find(({ cause }) => cause === "control-fader")?.minutes;
    expect(two.minutes).toBe(30 + 2 * (10 + 2) + hum + hiss + (fader ?? Number.NaN));
  });

  it("count the desk's opening for a section by itself, and no opening for one that stays shut", () => {
    const contact = bench("dirty-contact");
    expect(plan(notes(master))).toMatchObject({ openMinutes: 30, minutes: 30 + contact });
    expect(plan(notes(master, at("3", "hum"))).minutes).toBe(30 + contact + 10 + 2 + hum);
    // Automation is tried with the desk closed.
    const automation = plan(
      notes({ section: "automation", sectionKind: "automation", text: "mutes by itself" }),
    );
    expect(automation.places).toHaveLength(1);
    expect(automation).toMatchObject({
      openMinutes: 0,
      minutes: automation.places?.[0].items[0].minutes,
    });
  });

  it("count a board of two sections once", () => {
    const book = parseStripDown(
      `boards:
  hood: { sections: [master, group 1-4], minutes: 7, steps: lift it }
  tray: { sections: [master], minutes: 40, after: hood, steps: tilt it }
  bare: { sections: [group 1], steps: look }
`,
      "strip-down.yaml",
      desk,
    );
    const group = { section: "group 1", sectionKind: "group", text: "crackles" };
    const found = plan(notes(master, group), { book });
    expect(
      found.places?.map(({ section, boards }) => [section, boards?.map((b) => b.name)]),
    ).toStrictEqual([
      ["group 1", ["hood", "bare"]],
      ["master", ["hood", "tray"]],
    ]);
    const jobs = found.places?.flatMap(({ items }) => items.map(({ minutes }) => minutes)) ?? [];
    expect(found.minutes).toBe(30 + 7 + 40 + jobs.reduce((sum, one) => sum + one, 0));
    // Of a supply nothing is opened; a section that no board has keeps none.
    const others = plan(
      notes(fan, { section: "group 9", sectionKind: "group", text: "crackles" }),
      { book },
    );
    for (const place of others.places ?? []) expect(place).not.toHaveProperty("boards");
  });
});

describe("what the hours hold", () => {
  // Strip 3: 30 + 10 + 2 + the job
  const need = 30 + 10 + 2 + hum;
  const within = (minutes: number, ...more: readonly object[]) =>
    plan(notes(at("3", "hum"), ...more), { hours: minutes / 60 });

  it("is all that fits, to the minute", () => {
    expect(within(need)).toMatchObject({ hours: need / 60, minutes: need, left: [] });
    const short = within(need - 1);
    expect(short).toMatchObject({ steps: [], minutes: 0, openMinutes: 0 });
    expect(short.left).toMatchObject([
      { item: { key: "3 ground-hum" }, why: { takes: need, left: need - 1 } },
    ]);
    // Parts of a minute are none.
    expect(within(need + 0.9).minutes).toBe(need);
    expect(within(need - 0.1).minutes).toBe(0);
  });

  it("is less by what sections take, and never less than nothing", () => {
    const contact = bench("dirty-contact");
    expect(stripsOf(within(need + contact, master))).toHaveLength(1);
    const short = within(need + contact - 1, master);
    expect(stripsOf(short)).toHaveLength(0);
    expect(short.left[0].why).toStrictEqual({ takes: need, left: need - 1 });
    expect(within(1, master).left[0].why).toStrictEqual({ takes: need, left: 0 });
  });

  it("leaves the rest with what it takes beside what is done, and what may wait", () => {
    // Strip 7 lies under the panel and on the card: 20 + 15 more, but no pulling.
    const found = within(need, at("7", "hiss"));
    expect(found.left.map(({ item, why }) => [item.key, why])).toStrictEqual([
      ["7 noisy-device", { takes: 20 + 15 + 2 + hiss, left: 0 }],
    ]);
    const heard = round([
      ailing("4/mic", "noisy-device"),
      ailing("6/mic", "noisy-device", {
        findings: [{ ...ailing("6/mic", "").findings[0], severity: "watch" }],
      }),
    ]);
    const watched = plan(notes(), { round: heard, hours: 0.1 });
    expect(watched.left.map(({ item, why }) => [item.strip, why.mayWait])).toStrictEqual([
      ["4", undefined],
      ["6", true],
    ]);
    expect(watched.left[0].why).not.toHaveProperty("mayWait");
  });
});

describe("the turn of strips", () => {
  it("is by what comes off, the worst of a part first, and each part off once", () => {
    const found = plan(
      notes(at("2", "hum"), at("5", "hum"), at("7", "hum"), at("8", "dead"), at("1", "hiss")),
    );
    expect(turnsOf(found)).toStrictEqual(["panel", "5", "card", "7", "8", "1", "2"]);
    const [five, seven, eight, one] = stripsOf(found);
    expect([five, seven, eight, one].map((step) => step.pullMinutes)).toStrictEqual([10, 0, 0, 10]);
    expect(five).not.toHaveProperty("freeWith");
    expect(seven).not.toHaveProperty("freeWith");
    expect(eight.freeWith).toStrictEqual({ card: "card", strip: "7" });
    expect(found.minutes).toBe(30 + 20 + 15 + 3 * 10 + 5 * 2 + 3 * hum + hiss + dead);
    // Without the dead strip nothing is worse than the others: the desk's own order.
    expect(turnsOf(plan(notes(at("2", "hum"), at("5", "hum"))))).toStrictEqual(["2", "panel", "5"]);
    expect(turnsOf(plan(notes(at("2", "dead"), at("5", "hum"))))).toStrictEqual([
      "2",
      "panel",
      "5",
    ]);
    expect(turnsOf(plan(notes(at("2", "hum"), at("5", "dead"))))).toStrictEqual([
      "panel",
      "5",
      "2",
    ]);
  });

  it("has with each strip its own jobs, dangers and capacitors", () => {
    const old = deskOf(`${construction()}age: { installed: 2011, powered: 10 }\n`);
    // 24 h a day for 5 years are 12 at 10 h: due in 2023.
    const found = plan(
      notes(at("3", "hum"), at("4", "resistor hot, brown"), at("3", "fader stuck")),
      {
        desk: old,
      },
    );
    const [three, four] = stripsOf(found);
    expect(three.items.map(({ strip }) => strip)).toStrictEqual(["3", "3"]);
    expect(three.ageing).toStrictEqual({ strip: "3", since: 2011, years: 12, due: 2023 });
    expect(three).not.toHaveProperty("offFor");
    expect(four.offFor).toStrictEqual(["n2"]);
    expect(found.dangers?.map(({ note }) => note)).toStrictEqual(["n2"]);
    expect(stripsOf(plan(notes(at("3", "hum"))))[0]).not.toHaveProperty("ageing");
  });
});

describe("capacitors that come due", () => {
  it.each([
    // 5 years always on, from 2027 on: 2032
    ["2031-06-01", 8],
    ["2030-12-31", 0],
    ["2040-01-01", 8],
  ])("are told on %s from the year before on", (date, count) => {
    const old = deskOf(`${construction()}age: { installed: 2027, powered: 24 }\n`);
    expect(plan(notes(), { desk: old, date }).ageing).toHaveLength(count);
  });

  it("are new where a note says so", () => {
    const old = deskOf(`${construction()}age: { installed: 2020, powered: 24 }\n`);
    const recapped = notes({ kind: "repair", strip: "3", parts: [], recapped: true });
    expect(plan(recapped, { desk: old }).ageing.map(({ strip }) => strip)).toStrictEqual([
      "1",
      "2",
      "4",
      "5",
      "6",
      "7",
      "8",
    ]);
  });
});

describe("what a plan says beside the work", () => {
  it("counts open notes, but nothing that was taken off", () => {
    const of = (...lines: readonly object[]) => plan(notes(...lines)).openNotes;
    expect(of(at("3", "hum"), at("4", "hiss"))).toBe(2);
    expect(of(at("3", "hum"), { kind: "off", strip: "4", what: "M3x8", count: 2 })).toBe(1);
    expect(of(at("3", "hum"), { kind: "close", closes: "n1", figures: [] })).toBe(0);
    expect(of(at("3", "no hum any more"))).toBe(0);
  });

  it("names each group that is too loud together once, and no other", () => {
    const sum = (paths: readonly string[], verdict: string, reading = "noise") => ({
      paths,
      reading,
      unit: "dBFS",
      value: -60,
      verdict,
    });
    const loud = (...sums: readonly object[]) =>
      plan(notes(), { round: { ...round([]), sums: sums as never } }).loudTogether;
    expect(
      loud(
        sum(["1/mic", "2/mic"], "too-high"),
        sum(["1/mic", "2/mic"], "too-high", "hum"),
        sum(["3/mic", "4/mic"], "expected"),
        sum(["5/mic", "6/mic"], "too-high"),
      ),
    ).toStrictEqual([
      ["1/mic", "2/mic"],
      ["5/mic", "6/mic"],
    ]);
    expect(loud(sum(["3/mic", "4/mic"], "expected"))).toBeUndefined();
    expect(loud()).toBeUndefined();
  });

  it("gives shared parts, unless the whole desk is off for a danger", () => {
    const shared = [{ cause: "bus" }] as unknown as readonly RoundShared[];
    const made = { ...round([]), shared };
    const of = (...lines: readonly object[]) => plan(notes(...lines), { round: made }).shared;
    expect(of()).toBe(shared);
    // A hot resistor keeps its strip off, a shock the desk.
    expect(of(at("4", "resistor hot, brown"))).toBe(shared);
    expect(of(at("4", "got a belt off the metal"))).toBeUndefined();
    expect(plan(notes(), { round: round([]) })).not.toHaveProperty("shared");
  });

  it("names the controls passes once each, in their order", () => {
    const heard = (pass: string, strip: string) => ({
      pass,
      date: "2031-04-01T12:00:00Z",
      path: `${strip}/mic`,
      strip,
      input: "mic",
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
      } satisfies ControlReport as ControlReport,
    });
    const controls = [
      heard("2031-05-01-01", "2"),
      heard("2031-04-01-01", "3"),
      heard("2031-05-01-01", "4"),
    ];
    const found = plan(notes(), { controls });
    expect(found.passes).toStrictEqual(["2031-04-01-01", "2031-05-01-01"]);
    expect(stripsOf(found).map(({ strip }) => strip)).toStrictEqual(["2", "3", "4"]);
  });

  it("has a note of a strip that is gone put right, and of a path that is gone says nothing", () => {
    const found = plan(notes(at("9", "hum"), at("9", "hum again")));
    expect(found.steps).toStrictEqual([]);
    expect(found.outside.filter(({ kind }) => kind === "desk")).toStrictEqual([
      {
        place: "9",
        name: { code: "of-no-strip", name: expect.anything(), says: expect.any(Array) },
        todo: { code: "correct-place", strip: "9", note: "n1" },
        kind: "desk",
        measured: "out",
      },
    ]);
    const gone = plan(notes(), { round: round([ailing("9/mic", "noisy-device")]) });
    expect([gone.steps, gone.outside.filter(({ kind }) => kind === "desk")]).toStrictEqual([
      [],
      [],
    ]);
    // One that is there needs no putting right.
    const there = plan(notes(at("8", "hum"))).outside;
    expect(there.map(({ kind }) => kind)).toStrictEqual(["try first"]);
  });

  it("lists tools once, in one order, of jobs, sections and what is tried first", () => {
    const tools = (...lines: readonly object[]) => plan(notes(...lines)).tools;
    const ordered = (ids: readonly string[]) => benchToolIds.filter((id) => ids.includes(id));
    const all = tools(at("3", "hum"), at("7", "dead"), fan, at("6", "hiss"));
    expect(all).toStrictEqual(ordered(all));
    expect(new Set(all).size).toBe(all.length);
    expect(all).toStrictEqual(
      ordered([
        ...tools(at("3", "hum")),
        ...tools(at("7", "dead")),
        ...tools(fan),
        ...tools(at("6", "hiss")),
      ]),
    );
    // A note of the desk at large, and a section by itself, need their own.
    const contact = plan(notes(master));
    const needs = contact.places?.flatMap(({ items }) =>
      items.flatMap(({ steps }) => steps.flatMap((step) => step.needs ?? [])),
    );
    expect(contact.tools).toStrictEqual(ordered(needs ?? []));
    const setting = ailing("2/mic", "pad-in");
    const asked = plan(notes(), {
      round: round([{ ...setting, causes: [{ ...setting.causes[0], kind: "setting" }] }]),
    });
    expect(asked.tools).toStrictEqual(["recording set-up"]);
  });
});

describe("the parts of a plan", () => {
  const dried = (...strips: readonly string[]) =>
    round(strips.map((strip) => ailing(`${strip}/mic`, "dried-coupling-capacitor")));
  const each = findCause("dried-coupling-capacitor")?.bench?.parts?.[0].count ?? Number.NaN;
  const partsOf = (made: Round | undefined, values = "", book = notes(), more = "") =>
    plan(book, {
      round: made,
      desk: deskOf(more + construction(values === "" ? "" : `  values: { ${values} }\n`)),
    }).parts;

  it("are added up over strips, in the desk's order, a spare for every five begun", () => {
    const [one] = partsOf(dried("4"));
    expect(one).toStrictEqual({
      what: "coupling capacitor",
      value: "electrolytic, value and voltage like its neighbours'",
      count: each,
      spare: Math.ceil(each / 5),
      strips: ["4"],
    });
    const [three] = partsOf(dried("6", "2", "4"));
    expect(three).toMatchObject({
      count: 3 * each,
      spare: Math.ceil((3 * each) / 5),
      strips: ["2", "4", "6"],
    });
    expect(three).not.toHaveProperty("sections");
  });

  it("are one of a consumable for all, with no spare, and name the sections they are for", () => {
    const parts = plan(notes(at("5", "fader scratchy"), at("2", "fader scratchy"), master)).parts;
    expect(parts.find(({ isConsumable }) => isConsumable)).toStrictEqual({
      what: "contact cleaner",
      value: "",
      count: 1,
      spare: 0,
      isConsumable: true,
      spec: { kind: "contact cleaner" },
      strips: ["2", "5"],
      ...(parts.some(({ sections }) => sections !== undefined) ? { sections: ["master"] } : {}),
    });
    expect(parts.find(({ what }) => what === "control")).toMatchObject({ count: 2, spare: 1 });
  });

  it("that a meter names are apart by their name and value", () => {
    const parts = plan(
      notes(resistor("3", "R14"), resistor("4", "R14"), resistor("4", "R15")),
    ).parts;
    expect(parts.filter(({ what }) => what.startsWith("R"))).toStrictEqual([
      {
        what: "R14",
        value: "10 kΩ",
        count: 2,
        spare: 1,
        strips: ["3", "4"],
        spec: { kind: "", value: 10_000, unit: "Ω" },
      },
      {
        what: "R15",
        value: "10 kΩ",
        count: 1,
        spare: 1,
        strips: ["4"],
        spec: { kind: "", value: 10_000, unit: "Ω" },
      },
    ]);
  });

  it.each([
    // IEC 60063 (from memory), E6: 4.7 and 6.8 are the neighbours of 5; 10 is one of it.
    ["5u 35 V", "5 µF 35 V; nearest preferred: 4.7 µF"],
    ["10u 63 V", "10 µF 63 V"],
    ["4u7", "4.7 µF"],
    // 6.3 lies nearer to 6.8 by ratio: 1.079 against 1.34
    ["6.3u", "6.3 µF; nearest preferred: 6.8 µF"],
    ["tantalum, see drawing", "tantalum, see drawing"],
  ])("with the owner's value %s are bought as %s", (value, shown) => {
    const [part] = partsOf(dried("4"), `coupling capacitor: "${value}"`);
    expect(part.value).toBe(shown);
    expect(part).toHaveProperty("spec");
  });

  it("are as the owner wrote them where nothing is sold in preferred values", () => {
    const [control] = plan(notes(at("5", "fader scratchy")), {
      desk: deskOf(construction(`  values: { control: "10k A, 104 mm" }\n`)),
    }).parts.filter(({ what }) => what === "control");
    expect(control.value).toBe("10k A, 104 mm");
  });

  const low = {
    kind: "meter",
    strip: "7",
    what: "phantom",
    values: [
      { at: "pin 2", value: 20, unit: "V" },
      { at: "pin 3", value: 8, unit: "V" },
    ],
  };
  it.each([
    // IEC 61938 (from memory): 6.8 kΩ for 48 V, 1.2 kΩ for 24 V, 680 Ω for 12 V.
    [48, 6800, "2 × 6.8 kΩ, matched within 0.4 % (IEC 61938)"],
    [24, 1200, "2 × 1.2 kΩ, matched within 0.4 % (IEC 61938)"],
    [12, 680, "2 × 680 Ω, matched within 0.4 % (IEC 61938)"],
  ])("that feed phantom power follow its %d V", (volts, ohm, value) => {
    const values = low.values.map((one, k) => ({
      ...one,
      nominal: volts,
      value: volts * (k === 0 ? 0.98 : 0.6),
    }));
    const parts = partsOf(undefined, "", notes({ ...low, values }), `phantom: ${volts}\n`);
    const pair = parts.find(({ pairPercent }) => pairPercent !== undefined);
    expect(pair).toMatchObject({
      value,
      spec: { kind: "feed resistor pair", value: ohm, unit: "Ω" },
    });
  });

  it("are looked for in the stores, spares and all, where stores are kept", () => {
    expect(partsOf(dried("4"))[0]).not.toHaveProperty("stores");
    const stock = (count: number) =>
      notes({
        kind: "stock",
        event: "in",
        part: "electrolytic",
        value: 1e-5,
        unit: "F",
        volts: 63,
        count,
      });
    const needed = each + Math.ceil(each / 5);
    const own = "coupling capacitor: 10u 35 V";
    expect(partsOf(dried("4"), own, stock(99))[0].stores).toMatchObject({
      reserved: needed,
      missing: 0,
    });
    expect(partsOf(dried("4"), own, stock(1))[0].stores).toMatchObject({
      reserved: 1,
      missing: needed - 1,
    });
    // Without a value nothing can be looked for.
    expect(partsOf(dried("4"), "", stock(99))[0].stores).toStrictEqual({
      reserved: 0,
      missing: needed,
      matches: [],
    });
  });
});

describe("a plan by the strip-down book", () => {
  const book = parseStripDown(
    `open: { steps: raise the panel }
boards:
  mic board: { strips: 1-6, stages: [mic socket, mic input stage], minutes: 8, steps: slide it out }
  main board: { strips: 1-6, stages: [equaliser], controls: [gain], after: mic board, minutes: 25, steps: lift it }
  fader: { strips: 1-6, controls: [fader], steps: tilt it }
`,
    "strip-down.yaml",
    desk,
  );

  it("takes its minutes of the boards that come out, and the usual ones where it gives none", () => {
    const minutes = (...lines: readonly object[]) =>
      stripsOf(plan(notes(...lines), { book })).map(({ pullMinutes, boards }) => [
        pullMinutes,
        boards,
      ]);
    expect(minutes(at("3", "gain scratchy"))).toStrictEqual([
      [8 + 25, ["mic board", "main board"]],
    ]);
    // The fader's entry has no minutes.
    expect(minutes(at("3", "fader scratchy"))).toStrictEqual([[10, ["fader"]]]);
    expect(minutes(at("3", "fader scratchy"), at("3", "gain scratchy"))).toStrictEqual([
      [8 + 25, expect.arrayContaining(["mic board", "main board", "fader"])],
    ]);
    // Strip 8 is not in the book; it is on the card.
    expect(minutes(at("8", "fader scratchy"))).toStrictEqual([[0, []]]);
  });

  it("lists the boards that come out, each with its own strips, and how the desk is opened", () => {
    const found = plan(
      notes(at("3", "gain scratchy"), at("5", "fader scratchy"), at("8", "fader scratchy")),
      { book },
    );
    expect(found.opening).toStrictEqual(book.open);
    expect(found.boards?.map(({ name, strips }) => [name, strips])).toStrictEqual([
      ["mic board", ["3"]],
      ["main board", ["3"]],
      ["fader", ["5"]],
    ]);
    const bare = { ...book, open: undefined };
    expect(plan(notes(at("3", "hum")), { book: bare as never })).not.toHaveProperty("opening");
    expect(plan(notes(at("3", "hum")))).not.toHaveProperty("boards");
  });
});

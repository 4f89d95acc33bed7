import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { liveDanger } from "../../../src/diagnose/bench.js";
import type { Cause } from "../../../src/diagnose/types.js";
import type { RoundFinding, RoundPath } from "../../../src/history/types.js";
import type { ControlReport } from "../../../src/measure/controls/types.js";
import { renderPlanHtml } from "../../../src/report/plan/html.js";
import { renderPlanMarkdown } from "../../../src/report/plan/markdown.js";
import { outlinePlan } from "../../../src/report/plan/outline.js";
import { renderPartsCsv } from "../../../src/report/plan/parts-csv.js";
import { formatItemLines } from "../../../src/report/plan/phrases.js";
import { renderPlan } from "../../../src/report/plan/text.js";
import { wordPlan } from "../../../src/report/plan/word-plan.js";
import type { WordedPlan } from "../../../src/report/plan/worded.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { estimateCapacitorLife } from "../../../src/service/plan/ageing.js";
import type { FaultyControl } from "../../../src/service/plan/from-controls.js";
import { makePlan } from "../../../src/service/plan/plan.js";
import { getPreferredValue } from "../../../src/service/plan/preferred.js";
import { path as healthy, round } from "../limits/rounds.js";

const deskText = `name: The Quillmere desk
mains: 50
strips: 8
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`;
const built = `construction:
  open: 30
  pull: 10
  parts:
    panel: { strips: 5-8, minutes: 20 }
    card: { strips: 7-8, minutes: 15, kind: card }
  values: { coupling capacitor: 5u 35 V }
`;

const finding: RoundFinding = {
  reading: "hiss",
  against: "siblings",
  value: -70,
  expected: -80,
  deviation: 10,
  unit: "dB",
  score: 20,
  severity: "service",
  words: "hiss 10 dB above its siblings",
};
const cause = (id: string, parts: Partial<Cause> = {}): Cause => ({
  cause: id,
  name: id,
  kind: "fault",
  probability: 0.9,
  evidence: [],
  confirmBy: "look",
  ...parts,
});
const ailing = (name: string, ...causes: readonly Cause[]): RoundPath => ({
  ...healthy({ path: name, readings: {} }),
  findings: [finding],
  causes,
});
const notes = (...lines: readonly object[]) =>
  parseNotebook(
    Buffer.from(
      lines
        .map((line, k) =>
          JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-14T12:00:00Z", ...line }),
        )
        .join("\n"),
    ),
    "notebook.jsonl",
  );
const fault = (strip: string, text: string, more: object = {}) => ({
  kind: "fault",
  strip,
  text,
  ...more,
});
function heardControl(
  path: string,
  control: string,
  verdicts: ControlReport["verdicts"],
): FaultyControl {
  const [strip, input] = path.split("/");
  const report: ControlReport = {
    control,
    hand: "turn",
    fromS: 2,
    untilS: 8,
    moved: "seen",
    rangeDb: 30,
    scratches: { tone: 5, silence: 0 },
    dropouts: verdicts.includes("drops out") ? 1 : 0,
    jumps: 0,
    expected: 0,
    events: [],
    verdicts,
  };
  return { pass: "2031-04-01-01", date: "2031-04-01T12:00:00Z", path, strip, input, report };
}
const phantom = (strip: string, pin2: number, pin3: number) => ({
  kind: "meter",
  strip,
  what: "phantom",
  values: [
    { at: "pin 2", value: pin2, unit: "V", nominal: 48 },
    { at: "pin 3", value: pin3, unit: "V", nominal: 48 },
  ],
  text: "",
});

function plan(
  paths: readonly RoundPath[] | undefined,
  notebook = notes(),
  more: {
    hours?: number;
    desk?: string;
    done?: ReadonlyMap<string, string>;
    controls?: readonly FaultyControl[];
  } = {},
): WordedPlan {
  return wordPlan(
    makePlan({
      desk: parseDesk(more.desk ?? deskText, "desk.yaml"),
      round: paths && round(paths),
      notebook,
      done: more.done ?? new Map(),
      controls: more.controls ?? [],
      date: "2031-06-01",
      ...(more.hours === undefined ? {} : { hours: more.hours }),
    }),
  );
}
const strips = ({ steps }: WordedPlan) =>
  steps.flatMap((step) => (step.kind === "strip" ? [step.strip] : []));
const items = ({ steps }: WordedPlan) =>
  steps.flatMap((step) => (step.kind === "strip" ? step.items : []));

describe("makePlan", () => {
  it("works from the notebook alone", () => {
    const found = plan(undefined, notes(fault("6", "phantom comes and goes"), fault("3", "hum")));
    expect(found.round).toBeNull();
    expect(items(found).map(({ key }) => key)).toStrictEqual([
      "3 ground-hum",
      "6 phantom-supply-off",
    ]);
  });

  it("looks first at what is dead, keeps the words of a note, and the input of an idle check", () => {
    const found = plan(undefined, notes(fault("3", "hum"), fault("6", "  dead \n now ")));
    const [dead, hum] = ["6", "3"].map((strip) => items(found).find((one) => one.strip === strip));
    expect(dead?.worth).toBeGreaterThan(hum?.worth ?? Number.NaN);
    expect(dead?.says.join()).toContain("dead now");
    expect(dead?.says.join()).not.toMatch(/ {2}| "|" dead/);
  });

  it("makes one item of one fault, whoever speaks of it", () => {
    const found = plan(
      [ailing("4/mic", cause("noisy-device")), ailing("4/line", cause("noisy-device"))],
      notes(fault("4", "hissy"), phantom("6", 31.2, 47.8), fault("6", "", { control: "phantom" })),
    );
    expect(items(found)).toMatchObject([
      { key: "4 noisy-device", inputs: ["mic", "line"], notes: ["n1"], paths: ["4/mic", "4/line"] },
      { key: "6 phantom-supply-off", notes: ["n2", "n3"] },
    ]);
  });

  it("takes in the controls that a pass heard, with the notes of the same control", () => {
    const controls = [
      heardControl("7/line", "fader", ["drops out", "scratchy"]),
      heardControl("3/mic", "gain", ["scratchy"]),
      heardControl("5/mic", "eq high", ["scratchy"]),
    ];
    const found = plan(undefined, notes(fault("7", "fader crackles at the top")), { controls });
    expect(found.passes).toStrictEqual(["2031-04-01-01"]);
    expect(items(found)).toMatchObject([
      { key: "3 worn-gain-control", inputs: ["mic"], urgency: "watch", notes: [] },
      { key: "5 control-eq-high", name: "dirty or worn control: eq high", urgency: "watch" },
      { key: "7 control-fader", inputs: ["line"], urgency: "service", notes: ["n1"] },
    ]);
    const [fader] = items(found).filter(({ strip }) => strip === "7");
    expect(fader.worth).toBeGreaterThan(8);
    expect(fader.says[0]).toBe(
      "7/line fader: drops out, scratchy, 1 × dropout, 5 × scratch (controls pass 2031-04-01-01)",
    );
    expect(fader.settle).toContain("controls pass");
    expect(renderPlan(found, { colour: "none", width: 80 })).toContain(
      "controls pass 2031-04-01-01 and 1 open note",
    );
  });

  it("finds a phantom fault on a path that measures well", () => {
    const found = plan([healthy({ path: "6/mic" })], notes(phantom("6", 31.2, 47.8)));
    expect(items(found)).toMatchObject([{ cause: "phantom-supply-off", urgency: "service" }]);
    expect(plan([healthy({ path: "6/mic" })], notes(phantom("6", 47.9, 47.8))).steps).toStrictEqual(
      [],
    );
  });

  it("lets the latest reading of a thing hold", () => {
    const found = plan(undefined, notes(phantom("6", 31.2, 47.8), phantom("6", 47.8, 47.9)));
    expect(found.steps).toStrictEqual([]);
  });

  it("lays early clipping to the rail that is out", () => {
    const rail = {
      kind: "meter",
      strip: "5",
      what: "rail",
      values: [{ at: "minus", value: -3, unit: "V", nominal: -17 }],
      text: "",
    };
    const found = plan([ailing("5/line", cause("early-clipping"))], notes(rail));
    expect(items(found).map(({ key }) => key)).toStrictEqual(["5 supply-rail-off"]);
  });

  it("pulls no strip for a phantom voltage that only the supply can raise", () => {
    const found = plan(undefined, notes(phantom("6", 52.5, 52.6)));
    expect(found.steps).toStrictEqual([]);
    expect(found.outside).toMatchObject([{ place: "6", kind: "desk" }]);
    expect(found.outside[0].todo).toMatch(/52\.5 V.*regulator.*licensed/s);
  });

  it("orders for a part that is off its value the value of its own series", () => {
    // 5.7 kΩ is none of E24 (5.6 kΩ is), 18 µF none of E6 (15 µF is, and 22 µF further off): IEC 60063.
    const read = (what: string, nominal: number, unit: string, value: number) => ({
      kind: "meter",
      strip: "5",
      what,
      part: what === "resistor" ? "R14" : "C5",
      values: [{ at: "value", value, unit, nominal }],
      text: "",
    });
    const parts = (line: object) =>
      plan(undefined, notes(line)).parts.map((part) => JSON.stringify(part));
    expect(parts(read("resistor", 5700, "Ω", 9000)).join()).toContain("5.6 kΩ");
    const capacitor = parts(read("capacitor", 18e-6, "F", 4e-6)).join();
    expect(capacitor).toContain("15 µF");
  });

  it("says of an item how likely its cause is, of two paths the likelier", () => {
    const of = (path: string, probability: number) =>
      ailing(path, cause("noisy-device", { probability }));
    const [one] = items(plan([of("7/mic", 0.9)]));
    expect(one.probability).toBe(0.9);
    const [both] = items(plan([of("7/mic", 0.7), of("7/line", 0.9)]));
    expect(both.probability).toBe(0.9);
  });

  it("names a DC voltage by its size", () => {
    const direct = (value: number) => ({
      kind: "meter",
      strip: "5",
      what: "direct",
      values: [{ at: "value", value, unit: "V", nominal: 0 }],
      text: "",
    });
    const keys = (value: number) => items(plan(undefined, notes(direct(value)))).map((i) => i.key);
    expect(keys(0.15)).toStrictEqual(["5 leaky-capacitor"]);
    expect(keys(6.2)).toStrictEqual(["5 op-amp-latched"]);
  });

  it("puts what is done under power before any strip is unplugged", () => {
    const found = plan(
      undefined,
      notes(fault("7", "dead"), fault("2", "distorted"), fault("3", "aux send scratchy")),
    );
    const [live, ...rest] = ["MEASURE INSIDE", "\nStrip "].map((mark) =>
      renderPlan(found, { colour: "none", width: 80 }).indexOf(mark),
    );
    expect(live).toBeGreaterThan(0);
    expect(rest[0]).toBeGreaterThan(live);
    for (const item of items(found)) {
      for (const [, text] of formatItemLines(item)) {
        expect(text).not.toMatch(/probe|oscilloscope|play (a|the)|DC voltage/i);
      }
    }
    for (const render of [renderPlanHtml, renderPlanMarkdown]) {
      const text = render(found).toLowerCase();
      expect(text.indexOf("measure inside")).toBeGreaterThan(0);
      expect(text.indexOf("measure inside")).toBeLessThan(text.indexOf("strip 2: out and back"));
    }
  });

  it("says every change of power, and ends each wait in a check", () => {
    const found = plan(undefined, notes(fault("7", "dead"), fault("2", "hiss")), {
      desk: deskText + built,
    });
    expect(found.phases).toStrictEqual([
      { id: "outside", power: "in use" },
      { id: "open", power: "unplugged" },
      { id: "inside", power: "powered and open" },
      { id: "strips", power: "unplugged" },
      { id: "try", power: "powered and open" },
      { id: "close", power: "unplugged" },
      { id: "use", power: "in use" },
    ]);
    const parts = outlinePlan(found).filter(({ power }) => power !== undefined);
    expect(parts.map(({ power }) => power?.slice(0, 3))).toStrictEqual(
      found.phases.map(({ power }) => (power === "unplugged" ? "OFF" : "ON,")),
    );
    parts.forEach(({ power = "", lines }, k) => {
      const texts = lines.flatMap((line) => (line.kind === "tick" ? [line.text] : []));
      if (power.startsWith("OFF")) {
        expect(texts.join(" ")).toMatch(
          /pull the mains plug.*no voltage is left.*each must be below 1 V/,
        );
      } else if (k > 0) {
        expect(texts.join(" ")).toMatch(/plug in.*switch on and keep a hand on the switch/);
      }
    });
  });

  it("takes covers off before anything inside is measured", () => {
    const found = plan(undefined, notes(fault("7", "dead")), { desk: deskText + built });
    const text = renderPlan(found, { colour: "none", width: 80 });
    const [cover, live, card] = ["Off: panel", "MEASURE INSIDE", "Off: card"].map((mark) =>
      text.indexOf(mark),
    );
    expect(cover).toBeGreaterThan(0);
    expect(live).toBeGreaterThan(cover);
    expect(card).toBeGreaterThan(live);
  });

  it("never brings the caution of a live step under a strip that is unplugged", () => {
    const clipping = cause("early-clipping", { care: liveDanger });
    const found = plan([ailing("5/line", clipping)]);
    for (const item of items(found)) expect(item.risks.join("; ")).not.toMatch(/^live|; live/);
    const [, strip] = renderPlan(found, { colour: "none", width: 80 }).split("\nStrip 5");
    expect(strip.split("TRY IT")[0]).not.toMatch(/insulated probe/);
  });

  it("lists leads, loads and tones to have ready, with what writes a tone", () => {
    const found = plan([
      ailing("4/mic", cause("dried-coupling-capacitor")),
      ailing("5/mic", cause("phantom-sags")),
    ]);
    expect(found.tools).toStrictEqual(
      expect.arrayContaining(["tone 30 Hz", "phantom load", "extender", "multimeter"]),
    );
    const text = renderPlan(found, { colour: "none", width: 80 }).replace(/\s+/g, " ");
    expect(text).toContain("30 Hz tone: `deskround signal --tone 30 --minutes 5`");
    expect(text).toMatch(/dummy load for phantom power/);
  });

  it("says once what holds for all strips", () => {
    const found = plan([
      ailing("2/mic", cause("noisy-device")),
      ailing("4/mic", cause("open-leg")),
      ailing("6/mic", cause("no-signal")),
    ]);
    const text = renderPlan(found, { colour: "none", width: 80 }).replace(/\s+/g, " ");
    for (const once of ["catch nuts and washers", "discharge yourself to the frame first"]) {
      expect(text.split(once)).toHaveLength(2);
    }
    expect(text).toContain("risk pull a ribbon by its connector");
  });

  it("prints a cause of an older round that is no longer known", () => {
    const found = plan([ailing("4/mic", cause("moon-phase", { name: "wrong phase" }))]);
    expect(items(found)).toMatchObject([
      { key: "4 moon-phase", name: "wrong phase", settle: "look" },
    ]);
    expect(renderPlan(found, { colour: "none", width: 80 })).toContain("wrong phase");
  });

  it("pulls no strip for a setting, a patch or a missing path", () => {
    const found = plan([
      ailing("2/mic", cause("low-cut-left-in", { kind: "setting" })),
      healthy({ path: "3/mic", status: "missing", reason: "no return was assigned to it" }),
    ]);
    expect(found.steps).toStrictEqual([]);
    expect(found.outside).toMatchObject([
      { place: "2/mic", kind: "setting" },
      { place: "3/mic", kind: "record again" },
    ]);
  });

  it("asks once for a strip what its inputs ask of one control", () => {
    const lowCut = cause("low-cut-left-in", { kind: "setting" });
    const found = plan([
      ailing("2/mic", lowCut),
      ailing("2/line", lowCut),
      ailing("3/line", lowCut),
      ailing("3/mic", cause("gain-off", { kind: "setting" })),
    ]);
    expect(found.outside).toMatchObject([
      { place: "2", kind: "setting", paths: ["2/mic", "2/line"] },
      { place: "3/line", kind: "setting" },
      { place: "3/mic", kind: "setting" },
    ]);
    const text = renderPlan(found, { colour: "none", width: 80 });
    expect(text.match(/set wrongly\?/g)).toHaveLength(3);
    expect(text).toMatch(/^\[ \] 2 +set wrongly\?: .* \(2\/mic, 2\/line\)$/m);
    expect(text).toMatch(/2\/mic is the mic input of strip 2/);
  });

  it("tries the cable before a strip is pulled for one open leg", () => {
    const found = plan([ailing("2/mic", cause("open-leg"))]);
    expect(strips(found)).toStrictEqual(["2"]);
    expect(found.outside).toMatchObject([{ place: "2/mic", kind: "try first" }]);
  });

  it("takes nothing off twice, and a card's strips out together", () => {
    const found = plan(
      undefined,
      notes(fault("7", "hiss"), fault("2", "hiss"), fault("8", "hiss"), fault("5", "hiss")),
      { desk: deskText + built },
    );
    const turn = found.steps.map((step) => (step.kind === "off" ? step.part.name : step.strip));
    expect(turn).toStrictEqual(["2", "panel", "5", "card", "7", "8"]);
    expect(found.steps.at(-1)).toMatchObject({
      freeWith: { card: "card", strip: "7" },
      pullMinutes: 0,
    });
    // 30 open, 20 panel, 15 card, 2 × 10 pulled, 4 × 2 inputs tested, 4 × 30 at the bench
    expect(found.minutes).toBe(30 + 20 + 15 + 20 + 8 + 120);
  });

  it("leaves what does not fit the hours, and says why", () => {
    const found = plan(undefined, notes(fault("7", "dead"), fault("2", "hiss")), { hours: 2 });
    expect(strips(found)).toStrictEqual(["2"]);
    expect(found.minutes).toBeLessThanOrEqual(120);
    expect(found.left).toMatchObject([{ item: { strip: "7" } }]);
    expect(found.left[0].why).toMatch(/^takes 62 min more, 8 min are left/);
  });

  it("leaves out what a re-test has proved repaired", () => {
    const paths = [ailing("4/mic", cause("noisy-device"))];
    const done = new Map([["4 noisy-device", "2031-03-20"]]);
    expect(plan(paths, notes(), { done }).steps).toStrictEqual([]);
    const again = fault("4", "hissy again", { date: "2031-05-01T12:00:00Z" });
    expect(strips(plan(paths, notes(again), { done }))).toStrictEqual(["4"]);
  });

  it("counts parts and names preferred values", () => {
    // IEC 60063, E6: 4.7 is the nearest to 5
    const found = plan([ailing("4/mic", cause("dried-coupling-capacitor"))], notes(), {
      desk: deskText + built,
    });
    expect(found.parts).toStrictEqual([
      {
        what: "coupling capacitor",
        value: "5 µF 35 V; nearest preferred: 4.7 µF",
        count: 4,
        spare: 1,
        strips: ["4"],
        spec: { kind: "electrolytic", value: 5e-6, unit: "F", volts: 35 },
      },
    ]);
  });
});

describe("preferred", () => {
  // Series of IEC 60063 (from memory).
  it("is the value of the series nearest by ratio", () => {
    expect(getPreferredValue(5.1e-6, "E6")).toBe(4.7e-6);
    expect(getPreferredValue(9e-6, "E6")).toBe(10e-6);
    expect(getPreferredValue(6790, "E24")).toBe(6800);
    expect(getPreferredValue(96, "E24")).toBe(100);
  });
});

describe("ageingOf", () => {
  const age = {
    installed: 2010,
    recapped: [{ year: 2020, strips: ["1"] }],
    poweredHours: 24,
    warmerKelvin: 0,
  };
  // Rules of thumb of the trade: 5 years always on, 20 switched off when idle, half for 10 K.
  it("follows the trade's rules of thumb", () => {
    expect(estimateCapacitorLife("2", age)?.due).toBe(2015);
    expect(estimateCapacitorLife("1", age)?.due).toBe(2025);
    expect(estimateCapacitorLife("2", { ...age, poweredHours: 6 })?.due).toBe(2030);
    expect(estimateCapacitorLife("2", { ...age, poweredHours: 1 })?.due).toBe(2030);
    expect(estimateCapacitorLife("2", { ...age, poweredHours: 6, warmerKelvin: 10 })?.due).toBe(
      2020,
    );
    expect(estimateCapacitorLife("2", undefined)).toBeUndefined();
  });
});

describe("the ways out", () => {
  const hostile = '<script>alert("x")</script> & *b* `c` | =1+1 \u001b[2J \u202e';
  const found = plan(undefined, notes(fault("6", hostile), fault("7", "crackle")), {
    desk: `${deskText}${built}`.replace("The Quillmere desk", '"A <b>desk</b> & more"'),
  });

  it("print text in 80 columns", () => {
    const lines = renderPlan(found, { colour: "none", width: 80 }).split("\n");
    expect(lines.filter((line) => [...line].length > 80)).toStrictEqual([]);
  });

  it("escape what people wrote", () => {
    const html = renderPlanHtml(found);
    for (const raw of ["<script", "<b>", "\u001b", "\u202e"]) expect(html).not.toContain(raw);
    expect(html).toContain("&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt; &amp;");
    expect(html).toMatch(/default-src 'none'; style-src 'sha256-/);
    const markdown = renderPlanMarkdown(found);
    expect(markdown).not.toMatch(/(?<!\\)<script/);
    expect(markdown).not.toContain("\u001b");
    expect(markdown).toContain("\\*b\\*");
  });

  it("give the parts as CSV", () => {
    const [head, ...rows] = renderPartsCsv(found).trimEnd().split("\r\n");
    expect(head).toBe("part,value,count,spare,strips");
    expect(rows).toHaveLength(found.parts.length);
  });
});

describe("strips that are too loud together", () => {
  it("are to be told apart before a desk is called sound", () => {
    const paths = ["1/mic", "2/mic"];
    const sum = { paths, reading: "noise", unit: "dBFS", value: -60, verdict: "too-high" as const };
    const loud = wordPlan(
      makePlan({
        desk: parseDesk(deskText, "desk.yaml"),
        round: { ...round(paths.map((name) => healthy({ path: name }))), sums: [sum] },
        notebook: notes(),
        done: new Map(),
        date: "2031-06-01",
      }),
    );
    expect(loud.loudTogether).toStrictEqual([paths]);
    const text = renderPlan(loud, { colour: "none", width: 80 });
    expect(text).toContain("First find out which of 1/mic, 2/mic is too loud;");
    expect(text).not.toContain("othing calls for opening");
  });
});

describe("a part that a meter reading names", () => {
  const resistor = (part: string) => ({
    kind: "meter",
    strip: "7",
    what: "resistor",
    part,
    values: [{ at: "value", value: 13_000, unit: "Ω", nominal: 10_000 }],
    text: "",
  });

  it("keeps its name, however many words it has, and its value", () => {
    const found = plan(undefined, notes(resistor("R12 top")));
    expect(found.parts).toContainEqual(
      expect.objectContaining({ what: "R12 top", value: "10 kΩ", count: 1, strips: ["7"] }),
    );
    expect(items(found)).toMatchObject([
      { named: ["R12 top 10 kΩ"], namedParts: [{ part: "R12 top", value: "10 kΩ" }] },
    ]);
  });

  it("shares one job with others where inputs and work are the same, and no other's", () => {
    const on = (strip: string, part: string, input?: string) => ({
      ...resistor(part),
      strip,
      ...(input === undefined ? {} : { input }),
    });
    const found = plan(
      undefined,
      notes(
        on("7", "R14", "mic"),
        on("7", "R15", "mic"),
        on("7", "R9", "line"),
        on("6", "R14", "mic"),
      ),
    );
    expect(items(found).map(({ strip, name, notes: own }) => [strip, name, own])).toStrictEqual([
      ["6", "R14 out of tolerance", ["n4"]],
      ["7", "R14, R15 out of tolerance", ["n1", "n2"]],
      ["7", "R9 out of tolerance", ["n3"]],
    ]);
    const [single, both] = items(found);
    expect(both).toMatchObject({ inputs: ["mic"], key: "7 part-r14 part-r15" });
    // Half as long again for a second part of a board that is out, and worth as much as both: common practice.
    expect(both.minutes).toBe(1.5 * single.minutes);
    expect(both.worth).toBe(2 * single.worth);
    expect(found.parts.map(({ what, count }) => [what, count])).toContainEqual(["R15", 1]);
    expect(renderPlan(found, { colour: "none", width: 80 })).toContain("n2 resistor R15: 13 kΩ");
  });

  it("is nothing of an item that no meter speaks of", () => {
    const [item] = items(plan(undefined, notes(fault("7", "hum"))));
    expect(item).not.toHaveProperty("namedParts");
    expect(item.named).toStrictEqual([]);
  });

  it("is one can of cleaner for all strips, and a pair where phantom power is fed", () => {
    const { parts } = plan(
      [],
      notes(phantom("7", 30, 47), fault("6", "fader crackles"), fault("5", "fader crackles")),
    );
    const cleaner = parts.find(({ isConsumable }) => isConsumable);
    expect(cleaner).toMatchObject({ what: "contact cleaner", count: 1, spare: 0 });
    const pair = parts.find(({ pairPercent }) => pairPercent !== undefined);
    // IEC 61938 (from memory): 6.8 kΩ, within 0.4 %.
    expect(pair).toMatchObject({
      what: "feed resistor pair",
      pairPercent: expect.closeTo(0.4, 9),
      spec: { value: 6800, unit: "Ω" },
    });
  });
});

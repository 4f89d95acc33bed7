import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseDesk } from "../../../src/desk/read/read-desk.js";
import { getTolerance } from "../../../src/diagnose/meter-tolerance.js";
import type { RoundPath } from "../../../src/history/types.js";
import { renderPlanHtml } from "../../../src/report/plan/html.js";
import { renderPlanMarkdown } from "../../../src/report/plan/markdown.js";
import { renderPlanShort } from "../../../src/report/plan/short.js";
import { renderPlan } from "../../../src/report/plan/text.js";
import { wordPlan } from "../../../src/report/plan/word-plan.js";
import type { WordedPlan } from "../../../src/report/plan/worded.js";
import { parseMeterValues } from "../../../src/service/meter/values.js";
import { parseNotebook } from "../../../src/service/notebook/read.js";
import { makePlan } from "../../../src/service/plan/plan.js";
import { path, round } from "../limits/rounds.js";

const desk = parseDesk(
  `name: The Quillmere desk
mains: 50
strips: 8
rails: [17, -17]
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`,
  "desk.yaml",
);
const style = { width: 80, colors: "none" } as never;

function noted(...lines: readonly object[]) {
  const texts = lines.map((line, k) =>
    JSON.stringify({ note: 1, id: `n${k + 1}`, date: "2031-03-14T12:00:00Z", text: "", ...line }),
  );
  return parseNotebook(Buffer.from(texts.join("\n")), "notebook.jsonl");
}

function planOf(
  lines: readonly object[],
  paths?: readonly RoundPath[],
  done = new Map(),
): WordedPlan {
  return wordPlan(
    makePlan({
      desk,
      round: paths && round(paths),
      notebook: noted(...lines),
      done,
      date: "2031-06-01",
    }),
  );
}

const fault = (strip: string | undefined, text: string, more: object = {}) => ({
  kind: "fault",
  ...(strip === undefined ? {} : { strip }),
  text,
  ...more,
});
const allItems = ({ steps, left }: WordedPlan) => [
  ...steps.flatMap((step) => (step.kind === "strip" ? step.items : [])),
  ...left.map(({ item }) => item),
];
const forms = {
  text: (plan: WordedPlan) => renderPlan(plan, style),
  Markdown: renderPlanMarkdown,
  HTML: renderPlanHtml,
  short: (plan: WordedPlan) => renderPlanShort(plan, style),
};

describe("a plan with a danger noted", () => {
  const notes = [
    fault("6", "hum on the mic, smell of burning, resistor hot", {
      control: "fader",
      symptom: "hum",
    }),
    fault("3", "hum"),
  ];

  it("is headed by it, in the note's own words", () => {
    const plan = planOf(notes);
    expect(plan.dangers).toStrictEqual([
      {
        note: "n1",
        date: "2031-03-14",
        strip: "6",
        words: "hum on the mic, smell of burning, resistor hot",
        dangers: ["burning", "heat"],
      },
    ]);
    const [worst] = [...allItems(plan)].sort((one, other) => other.worth - one.worth);
    expect(worst.strip).toBe("6");
  });

  it("keeps the input it was noted on, and its words without the blanks around them", () => {
    const plan = planOf([fault("6", "  smell   of burning ", { input: "mic" })]);
    expect(plan.dangers?.map(({ words }) => words)).toStrictEqual(["smell of burning"]);
    expect(allItems(plan)).toMatchObject([{ strip: "6", inputs: ["mic"] }]);
  });

  it.each(Object.entries(forms))("says first what to leave off, as %s", (_, render) => {
    const text = render(planOf(notes)).replace(/\s+/g, " ");
    const at = text.indexOf("DANGER, strip 6");
    expect(at).toBeGreaterThan(0);
    expect(at).toBeLessThan(text.search(/without opening|open the desk|Pull|All of it/i));
    for (const words of ["mains switch", "fire service", "licensed people", "local codes"]) {
      expect(text).toContain(words);
    }
    expect(text).toContain("Do not power strip 6");
  });

  it("asks for nothing under power on that strip, and does on another", () => {
    const plan = planOf(notes, [
      path({ path: "6/mic", readings: {}, status: "silent" } as never),
      path({ path: "3/mic", readings: {} }),
    ]);
    const powered = allItems(plan).filter(({ steps }) =>
      steps.some(({ power }) => power === "in use" || power === "powered and open"),
    );
    expect(powered.map(({ strip }) => strip)).toStrictEqual(["3"]);
    expect(plan.outside.filter(({ place }) => place.startsWith("6"))).toStrictEqual([]);
    const text = renderPlan(plan, style);
    expect(text).not.toMatch(/record (the|this) path again|as it was used when it was noted/);
    expect(text).toContain("leave the power off until n1 is closed");
    expect(text).not.toContain("--retest");
    expect(plan.phases.map(({ id }) => id)).not.toContain("try");
  });

  it.each([
    ["smoke came out of it", "6"],
    ["tingle on the faders", "6"],
    ["psu gets very hot", undefined],
  ])("leaves all of the desk off for %j on %s", (text, strip) => {
    const plan = planOf([fault(strip, text), fault("3", "hum"), fault("4", "hiss")]);
    expect(plan.dangers).toHaveLength(1);
    expect(plan.outside).toStrictEqual([]);
    for (const { steps } of allItems(plan)) {
      for (const { power } of steps) expect(["unplugged", "bench"]).toContain(power);
    }
    expect(renderPlan(plan, style)).not.toContain("nothing calls for opening the desk");
  });

  it("says how a path is recorded again only where the desk may be on", () => {
    const high = meter({ strip: "6", input: "mic" }, "phantom", { pin2: "52.5", pin3: "52.5" });
    const print = (text: string) =>
      renderPlan(planOf([fault("3", text), high]), style).replace(/\s+/g, " ");
    for (const text of ["hum", "smoke came out of it"]) {
      expect(print(text)).toContain("6/mic is the mic input of strip 6");
    }
    expect(print("hum")).toContain("To record 6/mic again");
    expect(print("smoke came out of it")).not.toContain("To record");
  });

  it("is as it was once the note is closed", () => {
    const closed = [...notes, { kind: "close", closes: "n1", figures: [] }];
    expect(planOf(closed).dangers).toBeUndefined();
    expect(allItems(planOf(closed)).map(({ key }) => key)).toStrictEqual(["3 ground-hum"]);
    expect(planOf(closed).outside).not.toStrictEqual([]);
  });
});

/** A reading of each kind on a 17 V, 48 V desk, somewhere it should not be. */
const nominals = { rail: 17, phantom: 48, direct: 0 } as const;
const voltage = fc
  .record({
    what: fc.constantFrom("rail" as const, "phantom" as const, "direct" as const),
    place: fc.constantFrom<object>(
      { strip: "6" },
      { strip: "6", input: "mic" },
      {},
      { strip: "gone" },
      { section: "PSU A", sectionKind: "supply" },
      { section: "group 3", sectionKind: "group" },
    ),
    second: fc.boolean(),
    volts: fc.double({ min: -70, max: 70, noNaN: true }),
  })
  .map(({ what, place, second, volts }) => {
    const at =
      what === "direct"
        ? ("value" as const)
        : what === "rail"
          ? second
            ? ("minus" as const)
            : ("plus" as const)
          : second
            ? ("pin3" as const)
            : ("pin2" as const);
    const value =
      Math.round(1000 * (what === "phantom" || at === "plus" ? Math.abs(volts) : volts)) / 1000;
    const signed = at === "minus" ? -Math.abs(value) : value;
    return { what, place, at, signed };
  })
  .filter(({ what, at, signed }) => {
    const nominal = at === "minus" ? -nominals.rail : nominals[what];
    const off = Math.abs(signed - nominal);
    return off > 1.02 * getTolerance({ strip: "6", kind: what, value: signed, nominal });
  });

const others = fc.array(
  fc.constantFrom<object>(
    fault("6", "hum"),
    fault("6", "phantom comes and goes"),
    fault("6", "smoke"),
    fault("3", "smell of burning"),
    fault(undefined, "master dull"),
    fault(undefined, "hum", { section: "group 3", sectionKind: "group" }),
    fault(undefined, "smells burnt", { section: "PSU A", sectionKind: "supply" }),
    fault("6", "works fine now"),
    fault("6", "ask Jo about it"),
    { kind: "repair", strip: "6", parts: [], text: "C4 replaced" },
    { kind: "off", strip: "6", what: "cover" },
    meter({ strip: "3" }, "rail", { plus: "17", minus: "-17" }),
    meter({ strip: "6" }, "direct", { value: "1mV" }, "another point"),
  ),
  { maxLength: 6 },
);

function meter(
  place: object,
  what: "rail" | "phantom" | "direct",
  written: object,
  part?: string,
): object {
  const values = parseMeterValues(what, written, desk);
  return { kind: "meter", ...place, what, values, ...(part === undefined ? {} : { part }) };
}

describe("a voltage out of its range", () => {
  it("reaches the plan, whatever else is noted", () => {
    fc.assert(
      fc.property(voltage, others, others, fc.boolean(), (one, before, after, proven) => {
        const { what, place, at, signed } = one;
        const reading = meter(place, what, { [at]: `${signed}` });
        // The other rail or pin, read later and in order, does not hide it.
        const mate = { plus: "minus", minus: "plus", pin2: "pin3", pin3: "pin2", value: "value" }[
          at
        ];
        const nominal = mate === "minus" ? -17 : nominals[what];
        const later = mate === at ? [] : [meter(place, what, { [mate]: `${nominal}` })];
        const strip = (place as { strip?: string }).strip;
        const done = new Map(
          proven
            ? ["supply-rail-off", "phantom-supply-off", "leaky-capacitor", "op-amp-latched"].map(
                (cause) => [`${strip} ${cause}`, "2031-03-14"] as const,
              )
            : [],
        );
        const plan = planOf([...before, reading, ...later, ...after], undefined, done);
        const id = `n${before.length + 1 + later.length}`;
        const told = [
          ...allItems(plan)
            .filter((item) => item.strip === strip && item.notes.includes(id))
            .flatMap(({ says }) => says),
          ...plan.outside.map(({ name, todo }) => `${name} ${todo}`),
        ].join("\n");
        expect(told).toContain(`${id} ${what}`);
        expect(renderPlan(plan, style)).not.toContain("othing calls for opening the desk");
      }),
      { numRuns: 100 },
    );
  });

  it("is reported even where nobody has said what it ought to be", () => {
    const bare = parseDesk(
      "name: Q\nmains: 50\nstrips: 8\ninputs: { mic: { nominal: -40 } }\n",
      "desk.yaml",
    );
    const values = parseMeterValues("rail", { minus: "-12" }, bare);
    const plan = wordPlan(
      makePlan({
        desk: bare,
        round: undefined,
        notebook: noted({ kind: "meter", strip: "6", what: "rail", values }),
        done: new Map(),
        date: "2031-06-01",
      }),
    );
    expect(plan.outside).toMatchObject([{ place: "6", measured: "unjudged" }]);
    expect(renderPlan(plan, style)).not.toContain("othing calls for opening the desk");
  });
});

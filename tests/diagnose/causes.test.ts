import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { type BenchStep, powerStates } from "../../src/diagnose/bench.js";
import type { BenchToolId } from "../../src/diagnose/bench-tools.js";
import { type CauseKind, isPredicted } from "../../src/diagnose/cause-kind.js";
import {
  type CauseId,
  causeKinds,
  describeCause,
  findCause,
  getCauseName,
  predictedCauses,
} from "../../src/diagnose/causes.js";
import { findPointedCause } from "../../src/diagnose/meter-findings.js";
import { getSharedCause } from "../../src/diagnose/shared-causes.js";
import { formatCauseWord } from "../../src/report/html/cause-words.js";
import { interpretNote } from "../../src/service/plan/interpret-note.js";
import { getRepairGuide } from "../../src/service/plan/repair-guides.js";

// What a complete and safe record is: the rules of safe working on the page on the worklist. Which
// state of power a step needs is common practice of the trade, no published source.

const root = fileURLToPath(new URL("../..", import.meta.url));
const all: readonly CauseKind[] = causeKinds;
const known = new Set(all.map(({ id }) => id));
const stepsOf = ({ settle, bench }: CauseKind): readonly BenchStep[] => [
  settle,
  ...(bench?.steps ?? []),
];

describe("the registry", () => {
  it("has a row for every file, each under its own id", async () => {
    const files = readdirSync(join(root, "src/diagnose/causes")).map((name) => name.slice(0, -3));
    expect([...known].sort()).toEqual(files.sort());
    for (const file of files) {
      const made = Object.values(await import(`../../src/diagnose/causes/${file}.ts`));
      expect(made.map((one) => (one as CauseKind).id)).toContain(file);
    }
  });

  it("derives the ids, so that a table of causes misses none", () => {
    const count = { "dirty-contact": 1 } satisfies Partial<Record<CauseId, number>>;
    expect(Object.keys(count).every((id) => known.has(id))).toBe(true);
    // @ts-expect-error no cause is called so
    const wrong: CauseId = "no-such-cause";
    expect(known.has(wrong)).toBe(false);
  });

  it("knows nothing of an id of another version, and prints it all the same", () => {
    expect(findCause("moon-phase")).toBeUndefined();
    expect(getCauseName("moon-phase")).toBe("moon-phase");
    const old = {
      cause: "moon-phase",
      name: "wrong phase of the moon: full",
      kind: "fault",
    } as const;
    expect(formatCauseWord({ ...old, evidence: [], confirmBy: "look" })).toBe("wrong phase…");
    expect(getRepairGuide("moon-phase").repair).toMatch(/where the signal first differs/);
  });
});

describe.each(all.map((kind) => [kind.id, kind] as const))("%s", (id, kind) => {
  it("is complete", () => {
    expect([...kind.word].length).toBeGreaterThan(2);
    expect([...kind.word].length).toBeLessThanOrEqual(12);
    expect(kind.shownBy.length).toBeGreaterThan(0);
    expect(new Set(kind.shownBy).size).toBe(kind.shownBy.length);
    if (kind.kind === "fault" || kind.kind === "setting") expect(kind.bench).toBeDefined();
    if (isPredicted(kind)) {
      expect(kind.shownBy).toContain("round");
      expect(kind.prior).toBeGreaterThan(0);
      expect(kind.prior).toBeLessThan(1);
    }
    // What a meter or a note points to says so, and the other way round for notes.
    if (kind.meter?.length) expect(kind.shownBy).toContain("meter");
    if (kind.notes?.length) expect(kind.shownBy).toContain("use");
    if (kind.bench) {
      expect(kind.bench.minutes).toBeGreaterThanOrEqual(10);
      expect(kind.bench.minutes).toBeLessThanOrEqual(60);
      expect(kind.bench.source).toMatch(/no source|IEC|law|theory/);
      expect(kind.bench.risks).not.toEqual([]);
    }
  });

  it("names others by ids that are known, and never itself", () => {
    const others = [...kind.confusedWith.map(({ cause }) => cause), ...(kind.explains ?? [])];
    for (const other of others) {
      expect(known).toContain(other);
      expect(other).not.toBe(id);
    }
    if (id !== "none-of-these") expect(kind.confusedWith.length).toBeGreaterThan(0);
  });

  it("has parts measured without power where another cause is to be told apart, too", () => {
    for (const { check } of kind.confusedWith) {
      if (!/\bmeasure\b[^:;]*(resistance|capacitance|to ground)/.test(check)) continue;
      expect(check).toMatch(/with the desk off, unplugged and discharged/);
    }
  });

  it("says every step as an order", () => {
    const imperative =
      /^(with the desk off, unplugged and discharged, (measure|lift)|on one input alone, swap|in a discrete output stage, and only there, measure|(measure|mute|swap|set|turn|work|play|look|record|switch|press|patch|plug|find|follow|exchange|tap|join|compare|check|listen)\b)/i;
    for (const { text } of stepsOf(kind)) expect(text).toMatch(imperative);
    for (const { text } of kind.bench?.steps ?? []) expect(text).toMatch(/^[A-Z].*[^.]$/s);
    // A clause that follows a colon.
    expect(kind.settle.text).toMatch(/^[a-z].*[^.]$/s);
    if (kind.bench) {
      expect(kind.bench.repair).toMatch(
        /^(Clean|Resolder|Replace|Swap|Burnish|Repair|Have)\b.*\.$/s,
      );
    }
  });

  it("gives each step the power that it needs", () => {
    for (const { power, text, danger = "" } of stepsOf(kind)) {
      const where = `${power}: ${text}`;
      const ohms = /\b(resistances?|resistors?|capacitance|continuity)\b/i;
      const onParts = /\bmeasure[^.:;]*/gi;
      const cold = power === "unplugged" || power === "bench";
      const measured = (text.match(onParts) ?? []).filter(
        (part) => ohms.test(part) && !/voltage|level/.test(part),
      );
      if (measured.length > 0 || /one end lifted/.test(text)) {
        expect(cold, where).toBe(true);
        expect(text, where).toMatch(/off, unplugged and discharged/);
      }
      if (/solder|lift one end|\blift the\b/i.test(text)) expect(cold, where).toBe(true);
      if (cold) {
        expect(text, where).not.toMatch(
          /while (a|the) (\d+ Hz )?tone plays|play (a|the)|under power|oscilloscope|probe|DC voltage|listen/i,
        );
      } else {
        expect(text, where).not.toMatch(/unplugged and discharged/i);
      }
      if (power === "powered and open") {
        expect(danger, where).toMatch(/one hand.*insulated probe.*licensed/);
      }
      // Hot and live parts are not found with a finger, nor bridged under power.
      expect(text, where).not.toMatch(/\bfeel\b|\bbridge\b/i);
      if (/touch/.test(text)) expect(text, where).toMatch(/never by touch/);
    }
    expect(kind.bench?.repair ?? "").not.toMatch(/tone plays|under power|oscilloscope|probe/);
  });

  it("lists what each step needs to have ready", () => {
    const needs: readonly (readonly [RegExp, BenchToolId])[] = [
      [/oscilloscope/, "oscilloscope"],
      [/measure the (resistance|DC voltage|supply rails|rail)|measure pin 2/i, "multimeter"],
      [/the capacitance of/, "capacitance meter"],
      [/thermometer/, "thermometer"],
      [/insulated rod/, "insulated rod"],
      [/through a lens/, "lens"],
      [/30 Hz tone/, "tone 30 Hz"],
      [/15 kHz tone/, "tone 15 kHz"],
      [/(play|follow|while) the tone/i, "tone 1 kHz"],
      [/swap (the|its) cable/i, "good cable"],
      [
        /record (it |this path |the path )?again|record (it|this path|the path)\b/i,
        "recording set-up",
      ],
      [/load them to pin 1/, "phantom load"],
      [/good cord/, "patch cord"],
    ];
    for (const { text, power, needs: own = [] } of stepsOf(kind)) {
      for (const [words, tool] of needs) if (words.test(text)) expect(own, text).toContain(tool);
      if (power === "powered and open") expect(own, text).toContain("extender");
      expect(new Set(own).size).toBe(own.length);
    }
  });

  it("is described by its own words", () => {
    expect(describeCause(kind)).toMatchObject({
      cause: id,
      name: kind.name,
      confirmBy: kind.settle.text,
    });
    if (kind.settle.danger) expect(describeCause(kind).care).toBeDefined();
  });
});

describe("the electronics", () => {
  const textOf = (id: CauseId) => JSON.stringify(findCause(id));

  it("blames added resistance before capacitance for lost treble", () => {
    // 1/(2πRC): 1 kΩ into 10 nF gives 16 kHz, circuit theory; leakage to ground is in parallel.
    const [first] = findCause("high-loss")?.bench?.steps ?? [];
    expect(first.text).toMatch(/resistance across each normal contact/);
    expect(textOf("high-loss")).not.toMatch(/leak/i);
  });

  it("looks for DC voltage at the outputs before rails and resistors", () => {
    expect(findCause("early-clipping")?.settle.text).toMatch(/^measure the DC voltage/);
  });

  it("keeps emitter resistors and bias diodes to discrete output stages", () => {
    for (const kind of all) {
      for (const sentence of JSON.stringify(kind).split(/[.;"]/)) {
        if (/emitter resistor|bias diode/.test(sentence)) expect(sentence).toMatch(/discrete/);
      }
    }
  });

  it("wants feed resistors matched within the 0.4 % of IEC 61938 (from memory)", () => {
    const bench = findCause("phantom-supply-off")?.bench;
    expect(bench?.steps[0].text).toMatch(/match each other within 0\.4 %/);
  });

  it("loads a phantom supply with what draws the standard's 10 mA", () => {
    // IEC 61938 (from memory): 48 V through 6.8 kΩ to each of two pins that are joined.
    const [, kiloohm] = /with ([\d.]+) kΩ/.exec(findCause("phantom-sags")?.settle.text ?? "") ?? [];
    const amps = 48 / (6800 / 2 + 1000 * Number(kiloohm));
    expect(amps).toBeCloseTo(0.01, 6);
    expect(amps * 1000 * Number(kiloohm)).toBeCloseTo(14, 6);
  });

  it("tells a leak from an op amp, and a supply from a strip, by the voltage", () => {
    const pointed = (kind: "phantom" | "rail" | "direct", value: number, nominal: number) =>
      findPointedCause({ strip: "7", kind, value, nominal })?.id;
    expect(pointed("direct", 0.15, 0)).toBe("leaky-capacitor");
    expect(pointed("direct", -6, 0)).toBe("op-amp-latched");
    expect(pointed("direct", 0.01, 0)).toBeUndefined();
    expect(pointed("phantom", 52.5, 48)).toBe("phantom-supply-high");
    expect(pointed("phantom", 31.2, 48)).toBe("phantom-supply-off");
    expect(pointed("rail", -12, -17)).toBe("supply-rail-off");
    expect(pointed("rail", 17.1, 17)).toBeUndefined();
  });
});

describe("interpretNote", () => {
  const causes = (text: string, more: object = {}) =>
    interpretNote({
      line: { note: 1, id: "n1", date: "2031-03-14T12:00:00Z", kind: "fault", text, ...more },
    }).causes;

  // What a service engineer would look at first; common practice of the trade, no source.
  it.each([
    ["scratchy gain", "worn-gain-control"],
    ["aux send scratchy", "worn-control"],
    ["EQ sweep dead", "equaliser-band-faulty"],
    ["pan dead to the right", "send-or-pan-faulty"],
    ["pops when mute is pressed", "leaky-capacitor"],
    ["LED dark", "meter-or-lamp"],
    ["meter sticks", "meter-or-lamp"],
    ["phantom comes and goes", "phantom-supply-off"],
    ["insert cuts out", "dirty-insert-normal"],
    ["hum", "ground-hum"],
    ["dull", "high-loss"],
    ["no signal", "no-signal"],
    ["clips early", "early-clipping"],
    ["hum when the gain is up", "ground-hum"],
    ["noisy at high gain", "noisy-device"],
    ["squeals at full gain", "oscillation"],
    ["distorts with the pad out", "early-clipping"],
    ["distorts on phantom mics, phantom weak", "phantom-sags"],
    ["insert dull", "dirty-insert-normal"],
    ["compressor dead", "mute-element"],
    ["mute stuck", "dirty-contact"],
    ["no signal on direct out", "dirty-contact"],
    ["meter lamp out", "meter-or-lamp"],
  ])("takes %j for %s first", (text, id) => {
    expect(causes(text)[0]).toBe(id);
  });

  it("keeps what belongs to other controls out", () => {
    expect(causes("aux send scratchy")).not.toContain("worn-gain-control");
    expect(causes("fader crackles")).not.toContain("worn-gain-control");
    expect(causes("came to me in a dream")).toEqual([]);
  });
});

describe("an id of a cause", () => {
  /** Where ids may be written: the causes themselves; the simulator names its own faults. */
  const exempt = ["src/diagnose/causes/", "src/simulate/"];
  const files = readdirSync(join(root, "src"), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .filter((name) => !exempt.some((place) => name.startsWith(place)));

  /** An example in a doc comment names one, and nothing depends on it. */
  const withoutDocs = (text: string) => text.replace(/^ *\*.*$/gm, "");

  it("is written in its file and in no other", () => {
    const pattern = new RegExp(`["'\`](${[...known].join("|")})["'\`]`, "g");
    const found = files.flatMap((name) =>
      [...withoutDocs(readFileSync(join(root, name), "utf8")).matchAll(pattern)].map(
        ([text]) => `${name} ${text}`,
      ),
    );
    expect(found).toEqual([]);
  });
});

it("shares of what gives a silent side or loud sound leave something to what is not known", () => {
  const sounds = [...new Set(all.flatMap(({ loudShares = {} }) => Object.keys(loudShares)))];
  expect(sounds.sort()).toEqual(["driven", "programme", "stuck", "tone"]);
  const shares = [
    all.map(({ silentSideShare }) => silentSideShare ?? 0),
    ...sounds.map((sound) =>
      all.map(({ loudShares = {} }) => new Map(Object.entries(loudShares)).get(sound) ?? 0),
    ),
  ];
  for (const own of shares) {
    const sum = own.reduce((a, b) => a + b, 0);
    expect(sum).toBeGreaterThan(0.5);
    expect(sum).toBeLessThan(1);
  }
});

it("an aspect of a shared part speaks of one cause at most", () => {
  const aspects = all.flatMap(({ sharedAspect }) => sharedAspect ?? []);
  expect(new Set(aspects).size).toBe(aspects.length);
  expect(getSharedCause("hum-even")).toBe("supply-ripple");
  expect(getSharedCause("distortion")).toBeUndefined();
});

it("the causes that readings tell are in the order that they were weighed in", () => {
  expect(predictedCauses.length).toBeGreaterThanOrEqual(20);
  expect(all.filter(isPredicted)).toEqual(predictedCauses);
  expect(powerStates).toHaveLength(4);
});

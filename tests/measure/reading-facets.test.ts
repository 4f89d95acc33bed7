import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { curveKinds, findCurveKind } from "../../src/measure/curve-kinds.js";
import { findReadingKind, getReadingId, readingKinds } from "../../src/measure/reading-kinds.js";
import { groupBy } from "../../src/text/group-by.js";

const ids: ReadonlySet<string> = new Set(readingKinds.map(({ id }) => id));

/** Those that claim one place in an order, as "40: hiss, noise". */
function findCollisions<T extends { readonly id: string }>(
  kinds: readonly T[],
  orderOf: (kind: T) => number | undefined,
): readonly string[] {
  return [...groupBy(kinds, orderOf)].flatMap(([order, own]) =>
    order === undefined || own.length === 1
      ? []
      : [`${order}: ${own.map(({ id }) => id).join(", ")}`],
  );
}

describe("the facets of readings", () => {
  it("have one row for an id and one reading for a role", () => {
    expect(ids.size).toBe(readingKinds.length);
    const roles = readingKinds.flatMap(({ role }) => role ?? []);
    expect(new Set(roles).size).toBe(roles.length);
    for (const { id, role } of readingKinds) if (role) expect(getReadingId(role)).toBe(id);
  });

  it("are tried in this folder: each reading is named by a test of it", () => {
    const folder = new URL("./", import.meta.url);
    const tests = readdirSync(folder, { recursive: true, encoding: "utf8" })
      .filter((name) => name.endsWith(".test.ts") && name !== "reading-facets.test.ts")
      .map((name) => readFileSync(new URL(name, folder), "utf8"))
      .join("\n");
    const words = new Set(tests.match(/\w+/g));
    expect([...ids].filter((id) => !words.has(id))).toEqual([]);
  });

  it("name only readings that there are", () => {
    for (const { repeats, own } of readingKinds) {
      if (repeats) expect(ids).toContain(repeats);
      if (own?.adds === "power" && own.steady) expect(ids).toContain(own.steady);
      if (own?.adds === "phase" && own.at) expect(ids).toContain(own.at);
    }
  });

  it("give a floor to all that is ranked, parts batches or is followed through the years", () => {
    for (const { id, harm, least, leastChange, batch, ageing } of readingKinds) {
      if (harm !== "none") expect(least, id).toBeGreaterThan(0);
      if (batch) expect(batch.leastOctaves ?? least, id).toBeGreaterThan(0);
      if (ageing) expect(leastChange ?? least, id).not.toBe(0);
    }
  });

  it("give each place in an order to one reading or curve", () => {
    const three = [3, 4, 3].map((order, k) => ({ id: "abc"[k], order }));
    expect(findCollisions(three, ({ order }) => order)).toEqual(["3: a, c"]);
    for (const facet of ["evidence", "ageing"] as const) {
      expect(
        findCollisions(readingKinds, (kind) => kind[facet]?.order),
        facet,
      ).toEqual([]);
    }
    for (const facet of ["shared", "recognition"] as const) {
      const kinds = [...readingKinds, ...curveKinds];
      expect(
        findCollisions(kinds, (kind) => kind[facet]?.order),
        facet,
      ).toEqual([]);
    }
  });

  it("say how a shared part's share stands in all that a shared fault is recognised by", () => {
    for (const { id, shared, share } of readingKinds) {
      if (shared) expect(share, id).toBeDefined();
    }
  });

  it("let strong hum move a reading up, and down, or not at all", () => {
    for (const { id, underHum: [low, high] = [0, 1] } of readingKinds) {
      expect(low, id).toBeLessThanOrEqual(0);
      expect(high, id).toBeGreaterThan(0);
    }
  });

  const having = (of: (kind: (typeof readingKinds)[number]) => unknown) =>
    readingKinds.filter(of).map(({ id }) => id);

  it("say of a name that ends in a level that it does", () => {
    expect(having(({ endsInLevel }) => endsInLevel)).toEqual(
      having(({ name }) => / nominal$/.test(name)),
    );
  });

  it("say what depends on where the sweep ends, and on the interface's setting", () => {
    expect(having(({ atBandEnd }) => atBandEnd)).toEqual(["cornerHigh", "orderHigh"]);
    expect(having(({ relativeUntilCalibrated }) => relativeUntilCalibrated)).toEqual(["gain"]);
    // Noise as heard, and what counts it; nothing that leaves the lines out.
    expect(having(({ holdsHum }) => holdsHum === true)).toEqual(["thdN", "noise"]);
  });

  it("leave out of a summary what another reading covers", () => {
    const orders = [2, 3, 4, 5, 6, 7, 8, 9, 10].map((order) => `harmonic${order}`);
    const covered: Readonly<Record<string, readonly string[]>> = {
      headroom: ["clipSide"],
      hum: ["mains"],
      strayTone: ["strayToneHz"],
      clicks: ["burstiness"],
      noise: ["dc"],
      thd: orders,
      imd: ["imd2", "imd3"],
    };
    expect(having(({ detail }) => detail)).toEqual(Object.values(covered).flat());
    // A curve of one harmonic is covered by that of all.
    const curves = curveKinds.filter(({ detail }) => detail).map(({ id }) => id);
    expect(curves).toEqual(expect.arrayContaining(orders));
    expect(curves).not.toContain("distortion");
  });

  it("list for an interface what it hides: noise, hum and distortion", () => {
    expect(having(({ listedForInterface }) => listedForInterface)).toEqual([
      "thd",
      "thdN",
      "noise",
      "noiseA",
      "hum",
    ]);
  });

  it("know what of the mains is compared at one mains frequency only", () => {
    const hum = readingKinds.filter(({ aspect }) => aspect === "hum").map(({ id }) => id);
    expect(hum).toEqual(["hum", "humOdd", "humEven", "mains"]);
  });

  it("know a curve by its id, and crosstalk onto any channel", () => {
    for (const { id } of curveKinds) expect(findCurveKind(id)?.id).toBe(id);
    expect(findCurveKind("crosstalk-3")?.id).toBe("crosstalk");
    expect(findCurveKind("noise468")).toBeUndefined();
    expect(findReadingKind("response")).toBeUndefined();
  });
});

/** Rooms that may name readings: their own files, causes, limits as a user writes them. */
const free = [
  "src/measure/readings/",
  "src/measure/reading-kind.ts",
  "src/measure/reading-kinds.ts",
  "src/measure/curve-kinds.ts",
  "src/diagnose/causes/",
  "src/service/limits/built-in.ts",
  "src/service/limits/expression.ts",
  "src/service/limits/read.ts",
  "src/service/limits/parse-limits.ts",
];
/** Words that mean something else where they stand: a control, a word of a note, a figure of the page or a fit. */
const otherMeanings: Readonly<Record<string, readonly string[]>> = {
  "src/cli/signal.ts": ["level"],
  "src/cli/near-commands.ts": ["hum"],
  "src/cli/note.ts": ["dc"],
  "src/capture/find/locate-return.ts": ["gain"],
  "src/desk/controls.ts": ["gain"],
  "src/desk/splitter.ts": ["level"],
  "src/desk/starter.ts": ["gain"],
  "src/dsp/decimator.ts": ["delay"],
  "src/dsp/roll-off.ts": ["level"],
  "src/desk/expectations.ts": ["headroom", "hum", "level", "noise"],
  // Words of a note: controls, symptoms, and how people write them.
  "src/diagnose/notes/concepts.ts": ["hum", "hiss"],
  "src/diagnose/notes/control-words.ts": ["gain", "polarity"],
  "src/diagnose/notes/first-aid.ts": ["gain", "hiss", "hum", "polarity"],
  "src/diagnose/notes/read-loosely.ts": ["hiss", "hum"],
  "src/diagnose/notes/read-by-rules.ts": ["hiss"],
  "src/diagnose/notes/shorthand.ts": ["level"],
  "src/diagnose/notes/symptom-words.ts": ["hiss", "hum", "thd"],
  "src/diagnose/note-vocabulary.ts": ["gain", "hiss", "hum", "polarity"],
  "src/service/plan/from-controls.ts": ["gain"],
  "src/service/meter/judge.ts": ["gain"],
  "src/service/plan/items.ts": ["breaks"],
  "src/service/plan/interpret-note.ts": ["hiss", "hum"],
  "src/report/html/sections/measurement.ts": ["level"],
  "src/report/shared/format-shared.ts": ["level", "mains", "noise"],
  // Faults of a virtual desk.
  "src/simulate/pass.ts": ["hum", "level", "noise"],
  // Aspects, some of which are called like readings, and shared parts.
  "src/analysis/judge/part-sums.ts": ["clicks", "hum", "noise"],
  "src/report/gate.ts": ["gain", "hum", "polarity"],
  "src/service/retest/judge-retest.ts": ["gain", "hum", "noise"],
  "src/service/retest/shared-faults.ts": ["level"],
  "src/rank/shared/compare-desk.ts": ["hum", "noise"],
  "src/rank/shared/compare-sides.ts": ["level"],
  "src/rank/shared/list-candidates.ts": ["level"],
  "src/rank/shared/part-kinds.ts": ["level", "noise", "polarity"],
  "src/rank/shared/rows.ts": ["level", "noise", "polarity"],
  "src/rank/shared/score-candidate.ts": ["level", "noise"],
  "src/rank/shared/take-fault-off.ts": ["level"],
  "src/rank/shared/reference/attribute-faults.ts": ["level", "mains"],
  "src/rank/shared/reference/list-level-steps.ts": ["level"],
  "src/rank/shared/reference/take-level-drift-off.ts": ["noise"],
  "src/rank/shared/types.ts": ["level", "mains"],
  "src/measure/return-context.ts": ["clicks"],
  "src/measure/sweep-harmonics.ts": ["noise"],
};
/** Curves whose names are also those of readings: a curve's id, not a reading's. */
const ofCurves: Readonly<Record<string, readonly string[]>> = {
  "src/measure/measure.ts": ["noise"],
  "src/report/html/plots/noise.ts": ["noise"],
  "src/report/html/sections/families.ts": ["noise"],
};
/** What else has values that are called like readings: `limitedBy === "noise"`. */
const otherThings = /\b(limitedBy|limited|aspect|levelDependence|getReadingId)\b|"interface"/;

/** An id that is no word of English can mean nothing else, wherever it stands. */
const isUnmistakable = (text: string) => ids.has(text) && /[A-Z0-9]/.test(text);

/**
 * Ids in a line of code: as strings, as keys of readings, and unmistakable ones as any word.
 *
 * @param meant words that mean something else as strings; a key of readings means a reading
 */
function findIdsOf(code: string, meant: readonly string[] = []): readonly string[] {
  const strings = [...code.matchAll(/(["'`])(\w+)\1/g)].map(([, , word]) => word);
  // A table of figures: `{ noise: 1.5, hum: 6 }`.
  const tables = [...code.matchAll(/(?:^\s*|[{,]\s*)(\w+): -?\d/g)].map(([, word]) => word);
  const keys = [...code.matchAll(/\b(?:readings|absent|moves)\??\.(\w+)/g)].map(([, word]) => word);
  const named = otherThings.test(code)
    ? []
    : [...strings, ...tables].filter((word) => ids.has(word) && !meant.includes(word));
  const words = (code.match(/\w+/g) ?? []).filter(isUnmistakable);
  return [...new Set([...named, ...keys.filter((word) => ids.has(word)), ...words])];
}

/** The lines of a file without what is only said of them. */
const listCodeLines = (file: string) =>
  readFileSync(file, "utf8")
    .split("\n")
    .map((line) => (/^\s*(\/?\*|\/\/|import )/.test(line) ? "" : line.replace(/ \/\/ .*/, "")));

/** Rows that a file of `measure` imports: it speaks of them by name, which the compiler checks. */
const listImportedRows = (file: string) =>
  [...readFileSync(file, "utf8").matchAll(/^import \{(.*)\} from ".*\/readings\//gm)].flatMap(
    ([, names]) => names.split(/[ ,]+/),
  );

function findIds(file: string): readonly string[] {
  const rows = file.startsWith("src/measure/") ? listImportedRows(file) : [];
  const spared = new Set([...rows, ...(otherMeanings[file] ?? []), ...(ofCurves[file] ?? [])]);
  return listCodeLines(file).flatMap((code, k) =>
    findIdsOf(code, otherMeanings[file]).flatMap((id) =>
      spared.has(id) ? [] : [`${file}:${k + 1}: ${id}`],
    ),
  );
}

describe("the rooms", () => {
  it("name no reading by its id: they read its facets, or ask for its role", () => {
    const files = readdirSync("src", { recursive: true, encoding: "utf8" })
      .map((name) => `src/${name.replaceAll("\\", "/")}`)
      .filter((name) => name.endsWith(".ts") && !free.some((room) => name.startsWith(room)))
      .sort();
    expect(files.length).toBeGreaterThan(200);
    expect(files.flatMap(findIds)).toEqual([]);
  });

  it("have no exemption that nothing needs", () => {
    const unused = [otherMeanings, ofCurves].flatMap((exemptions) =>
      Object.entries(exemptions).flatMap(([file, words]) => {
        const found = new Set(listCodeLines(file).flatMap((code) => findIdsOf(code)));
        return words.flatMap((word) => (found.has(word) ? [] : [`${file}: ${word}`]));
      }),
    );
    expect(unused).toEqual([]);
  });

  it("would be found out", () => {
    expect(findIdsOf("= { noise: 1.5, hum: 6, clicks: 1 };")).toEqual(["noise", "hum", "clicks"]);
    expect(findIdsOf("  dc: -3,")).toEqual(["dc"]);
    expect(findIdsOf("  readonly gain: number;")).toEqual([]);
    expect(findIdsOf('  ["thd", "thd100"],')).toEqual(["thd", "thd100"]);
    expect(findIdsOf("if (/^(cornerHigh|orderHigh)$/.test(id))")).toEqual([
      "cornerHigh",
      "orderHigh",
    ]);
    expect(findIdsOf("  noiseA: 2,")).toEqual(["noiseA"]);
    expect(findIdsOf("const value = path.readings.gain?.value;")).toEqual(["gain"]);
    expect(findIdsOf("path.readings.level?.value", ["level"])).toEqual(["level"]);
    expect(findIdsOf('aspect === "level"', ["level"])).toEqual([]);
    expect(findIdsOf('if (limitedBy === "noise") return "upper";')).toEqual([]);
    expect(findIdsOf('readings[getReadingId("gain")]')).toEqual([]);
  });
});

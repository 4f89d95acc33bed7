import { formatPlace } from "../../desk/place.js";
import { compareRounds } from "../../history/compare/compare.js";
import type { RoundComparison } from "../../history/compare/types.js";
import { getCurveId, groupByStanding, listSeriousFindings } from "../../history/standing.js";
import type { Round, RoundPath } from "../../history/types.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { PathToRank } from "../../rank/family-stats.js";
import { rankPaths } from "../../rank/rank.js";
import type { Finding } from "../../rank/types.js";
import { formatMeterValues, judgeMeter, type MeterLine } from "../meter/judge.js";
import type { Entry, Notebook } from "../notebook/types.js";
import { formatItemKey, formatSettingKey, listPlanItems } from "./items.js";
import { interpretNote } from "./symptoms.js";
import type { PlanItem } from "./types.js";

export type Outcome = "mended" | "better" | "unchanged" | "worse" | "new fault" | "not shown";

/** What became of one item of the plan. */
export interface RetestItem {
  readonly key: string;
  readonly strip: string;
  readonly cause: string;
  readonly name: string;
  readonly outcome: Outcome;
  /** Then and now, a line each. */
  readonly figures: readonly string[];
  /** Notes that are proven mended with it. */
  readonly closes: readonly string[];
  /** Notes that speak of it and that a measurement cannot prove: they stay open. */
  readonly staysOpen: readonly string[];
}

/** A re-test held against the round that raised the items. */
export interface Retest {
  readonly format: "deskround-retest";
  readonly version: 1;
  readonly desk: string;
  readonly round: string;
  readonly date: string;
  readonly against: string;
  readonly items: readonly RetestItem[];
  /** Paths measured, and how many of them gave nothing that can be judged. */
  readonly measured: number;
  readonly unmeasured: readonly string[];
  /** What differed in how both rounds were made, and what all paths did alike; in words. */
  readonly notes: readonly string[];
}

/** Symptoms that come and go, or that no signal shows: only use proves them gone. */
const unprovable = new Set([
  "intermittent",
  "dropout",
  "scratch",
  "crackle",
  "pop",
  "stuck",
  "loose",
  "dark",
  "crosstalk",
]);

/**
 * Holds a re-test against the round that raised the items of the plan. What untouched strips did
 * alike since (the interface set otherwise, a warmer day) is taken out of the readings first; then
 * each path is ranked among the siblings of that round, so that a finding is gone when the path is
 * one of the crowd again, and a change counts only where it is more than chance.
 *
 * @param base the round that the plan stood on
 * @param round the re-test, later
 * @param done keys of items that an earlier re-test has proven mended
 */
export function judgeRetest(
  base: Round,
  round: Round,
  notebook: Notebook,
  done: ReadonlyMap<string, string> = new Map(),
): Retest {
  const comparison = compareRounds(round, base);
  const held = { base, round, comparison, now: rankedNow(base, round, comparison) };
  const { items } = listPlanItems(base, asRaised(notebook));
  const retested = new Set(round.paths.map(({ strip }) => strip));
  const judged = items
    .filter(({ strip }) => retested.has(strip))
    .map((item) => judgeItem(item, held, notebook))
    // What an earlier re-test has proven needs no second proof.
    .filter(({ key, outcome }) => outcome !== "not shown" || !done.has(key));
  return {
    format: "deskround-retest",
    version: 1,
    desk: round.desk.name,
    round: round.id,
    date: round.date,
    against: base.id,
    items: [...newFaults(held), ...judged, ...settingsNow(held)],
    measured: round.paths.filter(({ status }) => status === "measured").length,
    unmeasured: round.paths.flatMap(({ path, status, findings }) =>
      status === "measured" || findings.some(({ reading }) => reading === "return") ? [] : [path],
    ),
    notes: [
      // That it is a partial round goes without saying.
      ...comparison.notes.filter((note) => !note.includes("is a partial one")),
      ...shiftWords(comparison),
    ],
  };
}

/** What untouched strips did alike, family by family. */
function shiftWords({ shifts }: RoundComparison): readonly string[] {
  const byFamilies = new Map<string, string[]>();
  for (const { reading, shift, unit, families, atHz } of shifts) {
    if (atHz !== undefined) continue;
    const who = families.join(" and ");
    const words = `${nameOf(reading)} ${signed(shift)} ${unit}`;
    byFamilies.set(who, [...(byFamilies.get(who) ?? []), words]);
  }
  return [...byFamilies].map(
    ([who, words]) => `All ${who} paths alike, and taken out: ${words.join(", ")}.`,
  );
}

interface Held {
  readonly base: Round;
  readonly round: Round;
  readonly comparison: RoundComparison;
  /** Findings of every re-tested path among the siblings of the earlier round. */
  readonly now: ReadonlyMap<string, readonly Finding[]>;
}

function rankedNow(
  base: Round,
  round: Round,
  comparison: RoundComparison,
): ReadonlyMap<string, readonly Finding[]> {
  const later = new Map(round.paths.map((path) => [path.path, path]));
  const inputs = base.paths.flatMap((path): PathToRank[] => {
    const one = later.get(path.path);
    const taken = one?.status === "measured" ? withoutShift(one, comparison) : path;
    if (taken.status !== "measured") return [];
    const { readings, absent, curves } = taken;
    return [{ path: path.path, family: path.family, measurement: { readings, absent, curves } }];
  });
  const ranked = new Map(rankPaths(inputs).map(({ path, findings }) => [path, findings]));
  return new Map(
    round.paths.map((path) => [
      path.path,
      path.status === "measured"
        ? (ranked.get(path.path) ?? [])
        : path.findings.filter(({ reading }) => reading === "return"),
    ]),
  );
}

/** A path's readings less what all its siblings did since. */
function withoutShift(path: RoundPath, { paths }: RoundComparison): RoundPath {
  const own = paths.find((one) => one.path === path.path);
  const readings = Object.fromEntries(
    Object.entries(path.readings).map(([id, reading]) => {
      const shift = own?.readings.find((change) => change.reading === id)?.shift ?? 0;
      return [id, { ...reading, value: reading.value - shift }];
    }),
  );
  return { ...path, readings };
}

function judgeItem(item: PlanItem, held: Held, notebook: Notebook): RetestItem {
  const parts = [
    ...item.paths.map((path) => judgePath(path, held)),
    ...meterOutcomes(item, notebook),
  ];
  const outcome = together(parts.map((part) => part.outcome));
  const faults = notebook.entries.filter(
    ({ id, line, closed }) => item.notes.includes(id) && line.kind === "fault" && !closed,
  );
  const provable = (entry: Entry) => {
    const { symptom } = interpretNote(entry);
    return symptom !== undefined && !unprovable.has(symptom);
  };
  const mended = outcome === "mended";
  const meters = mended
    ? meterThings(item, notebook).flatMap((thing) => thing.map(({ id }) => id))
    : [];
  return {
    key: item.key,
    strip: item.strip,
    cause: item.cause,
    name: item.name,
    outcome,
    figures:
      parts.length === 0
        ? ["noted in use only: no measurement shows it"]
        : parts.map(({ words }) => words),
    closes: mended ? [...faults.filter(provable).map(({ id }) => id), ...meters] : [],
    staysOpen: faults.filter((entry) => !mended || !provable(entry)).map(({ id }) => id),
  };
}

/** Settings and patches of the earlier round that were put right. */
function settingsNow(held: Held): readonly RetestItem[] {
  const retested = new Set(held.round.paths.map(({ path }) => path));
  return groupByStanding(held.base)
    .setting.filter(({ path }) => retested.has(path))
    .map((path) => {
      const [{ cause, name }] = path.causes;
      const { outcome, words } = judgePath(path.path, held);
      const what = formatSettingKey(cause, path.input);
      return {
        key: formatItemKey(path.strip, what),
        strip: path.strip,
        cause: what,
        name,
        outcome,
        figures: [words],
        closes: [],
        staysOpen: [],
      };
    });
}

interface Part {
  readonly outcome: Outcome;
  readonly words: string;
}

/** The worst of several; mended only when all of them are. */
function together(outcomes: readonly Outcome[]): Outcome {
  if (outcomes.length === 0) return "not shown";
  if (outcomes.includes("worse")) return "worse";
  if (outcomes.includes("not shown")) return "not shown";
  if (outcomes.every((one) => one === "mended")) return "mended";
  return outcomes.some((one) => one === "mended" || one === "better") ? "better" : "unchanged";
}

function judgePath(name: string, { base, round, comparison, now }: Held): Part {
  const was = base.paths.find(({ path }) => path === name);
  const is = round.paths.find(({ path }) => path === name);
  if (was === undefined || is === undefined) {
    return { outcome: "not shown", words: `${name}: not measured again` };
  }
  const after = seriousOf(now.get(name) ?? []);
  const dead = after.find(({ reading }) => reading === "return");
  const before = listSeriousFindings(was);
  if (before.some(({ reading }) => reading === "return")) {
    if (is.status !== "measured") {
      return {
        outcome: dead ? "unchanged" : "not shown",
        words: `${name}: ${is.reason ?? "not measured"}`,
      };
    }
    const outcome = after.length === 0 ? "mended" : "better";
    return {
      outcome,
      words: `${name}: the signal comes back${outcome === "better" ? `; ${after[0].words}` : ""}`,
    };
  }
  if (dead) return { outcome: "worse", words: `${name}: nothing of the signal comes back now` };
  if (is.status !== "measured") {
    return { outcome: "not shown", words: `${name}: ${is.reason ?? "not measured"}` };
  }
  const changes = comparison.paths.find(({ path }) => path === name);
  const real = (reading: string) =>
    [
      ...(changes?.readings.filter((one) => one.reading === reading) ?? []),
      ...(changes?.curves.filter((one) => one.curve === getCurveId(reading)) ?? []),
    ].some((one) => one.real);
  const found = before.map((finding): Outcome => {
    const still = after.filter(({ reading }) => reading === finding.reading);
    if (!real(finding.reading)) return "unchanged";
    if (still.length === 0) return "mended";
    const least = Math.min(...still.map(({ deviation }) => Math.abs(deviation)));
    return least < Math.abs(finding.deviation) ? "better" : "worse";
  });
  const words = before
    .slice(0, 2)
    .map(
      (finding) =>
        `${finding.words}, now ${nowWords(finding, withoutShift(is, comparison), after)}`,
    );
  return { outcome: together(found), words: `${name}: ${words.join("; ")}` };
}

/** What a finding's reading is now. */
function nowWords(finding: Finding, is: RoundPath, after: readonly Finding[]): string {
  const still = after.find(({ reading }) => reading === finding.reading);
  if (still) return `${signed(still.deviation)} ${differenceUnit(still.unit)}`;
  const off = deviationNow(finding, is);
  return off === undefined
    ? "like its siblings"
    : `${signed(off)} ${differenceUnit(finding.unit)}: like its siblings`;
}

function deviationNow({ reading, atHz, expected }: Finding, is: RoundPath): number | undefined {
  const curve = is.curves[getCurveId(reading)];
  if (curve !== undefined && atHz !== undefined) {
    const apart = (hz: number) => Math.abs(Math.log(hz / atHz));
    const at = curve.x.reduce((best, hz, i) => (apart(hz) < apart(curve.x[best]) ? i : best), 0);
    return curve.y[at] - expected;
  }
  const value = is.readings[reading]?.value;
  return value === undefined ? undefined : value - expected;
}

function seriousOf(findings: readonly Finding[]): readonly Finding[] {
  return findings.filter(({ severity }) => severity !== "remark");
}

/** What stands out now, did not before, and moved for the worse by more than chance. */
function newFaults({ base, round, comparison, now }: Held): readonly RetestItem[] {
  return round.paths.flatMap((path) => {
    const was = base.paths.find((one) => one.path === path.path);
    if (was === undefined || was.status !== "measured") return [];
    const known = new Set(listSeriousFindings(was).map(({ reading }) => reading));
    const changes = comparison.paths.find((one) => one.path === path.path);
    const worse = new Set([
      ...(changes?.readings ?? [])
        .filter((c) => c.real && c.course === "worse")
        .map((c) => c.reading),
      ...(changes?.curves ?? []).filter((c) => c.real && c.course === "worse").map((c) => c.curve),
    ]);
    const fresh = seriousOf(now.get(path.path) ?? []).filter(
      ({ reading, severity }) =>
        !known.has(reading) &&
        (reading === "return" || (severity === "service" && worse.has(getCurveId(reading)))),
    );
    if (fresh.length === 0) return [];
    const first = path.causes[0];
    return [
      {
        key: formatItemKey(path.strip, `new-${path.input}`),
        strip: path.strip,
        cause: first?.cause ?? "not-clear",
        name: first?.name ?? "not clear from the readings",
        outcome: "new fault" as const,
        figures: [
          `${path.path}: ${fresh
            .slice(0, 3)
            .map(({ words }) => words)
            .join("; ")}`,
        ],
        closes: [],
        staysOpen: [],
      },
    ];
  });
}

/** The notebook as the plan saw it: of a thing measured again, the first reading that was out. */
function asRaised(notebook: Notebook): Notebook {
  const raised = new Set<string>();
  const entries = notebook.entries.filter(({ line, closed }) => {
    if (line.kind !== "meter" || closed) return true;
    if (raised.has(thingOf(line))) return false;
    if (judgeMeter(line).verdict === "out") raised.add(thingOf(line));
    return true;
  });
  return { ...notebook, entries };
}

function thingOf(line: MeterLine): string {
  return `${formatPlace(line)} ${line.what} ${line.part ?? ""}`;
}

/** All open readings of the things that an item's meter notes are about, oldest first. */
function meterThings(item: PlanItem, { entries }: Notebook): readonly (readonly Entry[])[] {
  const open = entries.filter(({ line, closed }) => line.kind === "meter" && !closed);
  const things = new Set(
    open.filter(({ id }) => item.notes.includes(id)).map(({ line }) => thingOf(line as MeterLine)),
  );
  return [...things].map((thing) =>
    open.filter(({ line }) => thingOf(line as MeterLine) === thing),
  );
}

function meterOutcomes(item: PlanItem, notebook: Notebook): readonly Part[] {
  return meterThings(item, notebook).map((readings): Part => {
    const lines = readings.map(({ line }) => line as MeterLine);
    const [first, last] = [lines[0], lines[lines.length - 1]];
    const what = `${first.what}${first.part === undefined ? "" : ` ${first.part}`}`;
    if (lines.length === 1) {
      return {
        outcome: "not shown",
        words: `${what} ${formatMeterValues(first.values)}: not measured again since`,
      };
    }
    const words = `${what} ${formatMeterValues(first.values)}, now ${formatMeterValues(last.values)}`;
    if (judgeMeter(last).verdict !== "out")
      return { outcome: "mended", words: `${words}: in order` };
    const [then, now] = [farthest(first), farthest(last)];
    const apart = Math.abs(now - then) / Math.max(then, 1e-12);
    if (apart < 0.05) return { outcome: "unchanged", words };
    return { outcome: now < then ? "better" : "worse", words };
  });
}

function farthest({ values }: MeterLine): number {
  return Math.max(...values.map(({ value, nominal = value }) => Math.abs(value - nominal)));
}

function nameOf(reading: string): string {
  return findReadingKind(reading)?.name ?? reading;
}

/** Two levels with the same reference differ by decibels. */
function differenceUnit(unit: string): string {
  return /^dB\p{L}+$/u.test(unit) ? "dB" : unit;
}

function signed(value: number): string {
  const text = Math.abs(value).toFixed(1);
  return `${value < 0 && Number(text) !== 0 ? "−" : "+"}${text}`;
}

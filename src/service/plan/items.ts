import { isDeepStrictEqual } from "node:util";
import { formatPlace, pickPlace, wholeDesk } from "../../desk/place.js";
import type { SectionKind } from "../../desk/section-kinds.js";
import type { StageRole } from "../../desk/stage-role.js";
import { type BenchStep, powerStates } from "../../diagnose/bench.js";
import type { CauseKind } from "../../diagnose/cause-kind.js";
import { wornControl } from "../../diagnose/causes/worn-control.js";
import { causeKinds, findCause } from "../../diagnose/causes.js";
import { findCheck } from "../../diagnose/checks/check-kinds.js";
import { computeGoneShare } from "../../diagnose/checks/compute-gone-share.js";
import type { NextCheck } from "../../diagnose/checks/types.js";
import {
  applyMeterFindings,
  findExplainingCause,
  findPointedCause,
} from "../../diagnose/meter-findings.js";
import { findPart } from "../../diagnose/notes/find-part.js";
import { findFirstAid } from "../../diagnose/notes/first-aid.js";
import type { Cause } from "../../diagnose/types.js";
import { getReason } from "../../history/get-reason.js";
import { groupByStanding, listSeriousFindings } from "../../history/standing.js";
import type { Round, RoundPath } from "../../history/types.js";
import { collapseSpace } from "../../text/collapse-space.js";
import { isRaisedBySupply, type MeterLine, type MeterVerdict } from "../meter/judge.js";
import { listFindingsFor, listLatestMeters, type Meter } from "../meter/latest-meters.js";
import { formatQuantity } from "../meter/quantity.js";
import { listDangersAt, listOpenDangers, type OpenDanger } from "../notebook/open-dangers.js";
import type { Entry, Notebook } from "../notebook/types.js";
import { formatDangerCause } from "./danger-guide.js";
import { formatStep } from "./format-step.js";
import {
  type FaultyControl,
  formatControlCause,
  isControlCause,
  listHeard,
  nameHeard,
} from "./from-controls.js";
import { type FaultMeaning, interpretNote } from "./interpret-note.js";
import { mergeQuestions } from "./merge-questions.js";
import type { ItemFact, ItemName, NotedWords, OutsideTodo } from "./plan-data.js";
import { getPreferredValue } from "./preferred.js";
import type { RepairGuide } from "./repair-guide.js";
import { formatPartCause, getRepairGuide } from "./repair-guides.js";
import { getSectionGuide } from "./section-guides.js";
import type { MeteredPart, OutsideItem, PlanItem } from "./types.js";

/** All work that a plan can choose from. */
export interface PlanCandidates {
  readonly items: readonly PlanItem[];
  readonly outside: readonly OutsideItem[];
  /** The same for sections, each by its name. */
  readonly sections: readonly PlanItem[];
}

/**
 * Worth of an item: a path that wants service counts ten times its likeliest cause's probability,
 * one to watch three times; a note counts six, a meter reading out of range nine, a dead strip ten,
 * a danger thirty; a control that drops out or jumps counts eight, a scratchy one six; and two more
 * if several sources report the same fault. The further a path is from its siblings the more it
 * counts, up to twice. Common sense, no source.
 */
const worths = {
  service: 10,
  watch: 3,
  note: 6,
  meter: 9,
  dead: 10,
  danger: 30,
  breaks: 8,
  scratchy: 6,
  together: 2,
} as const;

/** Oddness at which a path counts half as much again. */
const halfAgain = 30;

/** A cause outside the desk with at least this probability is checked before the desk is opened. */
const worthTrying = 0.15;

/** Permanent key of an item. */
export function formatItemKey(strip: string, cause: string): string {
  return `${strip} ${cause}`;
}

/** The same for a setting or a patch, which belongs to one input. */
export function formatSettingKey(cause: string, input: string): string {
  return `${cause}/${input}`;
}

interface Draft {
  /** Or the section. */
  strip: string;
  sectionKind?: SectionKind;
  cause: string;
  name: ItemName;
  inputs: Set<string>;
  worth: number;
  urgency: PlanItem["urgency"];
  probability?: number;
  /** Whether it is more than a guess: from a round, a pass, a meter, or an unambiguous note. */
  isSure: boolean;
  says: ItemFact[];
  where?: string;
  settle?: string;
  care?: string;
  namedParts: MeteredPart[];
  paths: string[];
  notes: string[];
}

/**
 * Merges findings, notes and meter readings into one list of work: one item per strip and cause,
 * whatever its sources.
 *
 * @param round to plan from; undefined: the notebook alone
 *
 * @param done keys of items that a re-test has proved repaired since that round, with its day;
 * later notes mean a new fault
 *
 * @param controls that need attention
 */
export function listPlanItems(
  round: Round | undefined,
  notebook: Notebook,
  done: ReadonlyMap<string, string> = new Map(),
  controls: readonly FaultyControl[] = [],
): PlanCandidates {
  const open = notebook.entries.filter(
    ({ line, closed }) => !["repair", "off", "accept", "check"].includes(line.kind) && !closed,
  );
  const meters = listLatestMeters(open);
  const dangers = listOpenDangers(open);
  const drafts = new Map<string, Draft>();
  const sectionDrafts = new Map<string, Draft>();
  const outside: OutsideItem[] = [];
  if (round !== undefined) fromRound(round, meters, { drafts, outside, done });
  if (round !== undefined) fromChecks(round, notebook.entries, drafts);
  for (const control of controls) fromControl(control, drafts);
  for (const meter of meters) fromMeter(meter, drafts, outside, dangers);
  for (const danger of dangers) fromDanger(danger, drafts, sectionDrafts);
  const told = new Set(dangers.map(({ note }) => note));
  for (const entry of open) {
    if (!told.has(entry.id)) fromNote(entry, { drafts, sectionDrafts, outside });
  }
  const dayOf = new Map(open.map(({ id, line }) => [id, line.date.slice(0, 10)]));
  const isOut = new Set(
    meters.flatMap(({ entry, verdict }) => (verdict.verdict === "out" ? [entry.id] : [])),
  );
  const items = [...drafts.values()]
    .map((draft) => finished(draft, dangers))
    .filter(({ key, notes }) => {
      const day = done.get(key);
      // A reading proved in order since then would be closed.
      return day === undefined || notes.some((id) => isOut.has(id) || (dayOf.get(id) ?? "") > day);
    });
  for (const item of items) {
    if (item.before === undefined) continue;
    const needed = item.steps.flatMap(({ power, needs: own = [] }) =>
      power === "in use" ? own : [],
    );
    const needs = [...new Set(needed)];
    const one: OutsideItem = {
      place: placeOf(item),
      name: item.name,
      todo: { code: "try", steps: item.steps.filter(({ power }) => power === "in use") },
      kind: "try first",
      ...(needs.length === 0 ? {} : { needs }),
    };
    // The most useful check replaces everything else that might be tried.
    const same = ({ place, name, kind, next }: OutsideItem) =>
      place === one.place &&
      (isDeepStrictEqual(name, one.name) || kind === "record again" || next !== undefined);
    if (!outside.some(same)) outside.push(one);
  }
  return {
    items: items.sort((a, b) => b.worth - a.worth),
    outside: mergeQuestions(outside).flatMap((one) => withoutPower(one, dangers)),
    sections: [...sectionDrafts.values()]
      .map((draft) => finished(draft, dangers))
      .sort((a, b) => b.worth - a.worth),
  };
}

function draftOf(drafts: Map<string, Draft>, strip: string, cause: string, name: ItemName): Draft {
  const key = formatItemKey(strip, cause);
  const known = drafts.get(key);
  if (known !== undefined) return known;
  const fresh: Draft = {
    strip,
    cause,
    name,
    inputs: new Set(),
    worth: 0,
    urgency: "noted",
    isSure: false,
    says: [],
    namedParts: [],
    paths: [],
    notes: [],
  };
  drafts.set(key, fresh);
  return fresh;
}

function fromRound(
  round: Round,
  meters: readonly Meter[],
  {
    drafts,
    outside,
    done,
  }: { drafts: Map<string, Draft>; outside: OutsideItem[]; done: ReadonlyMap<string, string> },
): void {
  const by = groupByStanding(round);
  for (const standing of ["service", "watch"] as const) {
    for (const path of by[standing]) {
      const findings = listFindingsFor(path, meters);
      const causes = applyMeterFindings(path.causes, findings);
      const first = causes.find(({ cause }) => path.causes.some((one) => one.cause === cause));
      const cause = (first && findExplainingCause(first.cause, findings)) ?? first;
      addPath(
        draftOf(
          drafts,
          path.strip,
          cause?.cause ?? "not-clear",
          cause === undefined ? notClear : { code: "cause", name: cause.name },
        ),
        path,
        cause,
        standing,
      );
      // Causes proved repaired since then need no check.
      if (done.has(formatItemKey(path.strip, cause?.cause ?? "not-clear"))) continue;
      // A meter reading may have decided what the check was for.
      const next = findings.length > 0 ? undefined : path.next;
      if (next?.power === "in use") outside.push(checkItem(path, next));
      for (const other of causes.slice(0, 3)) {
        if (other.kind === "fault" || (other.probability ?? 0) < worthTrying) continue;
        if (next !== undefined && setsRight(next, other)) continue;
        outside.push({
          place: path.path,
          name: { code: "cause", name: other.name },
          todo: { code: "confirm", by: other.confirmBy },
          kind: "try first",
          ...needsOf(other.cause),
        });
      }
    }
  }
  for (const path of by.setting) {
    const [first] = path.causes;
    if (done.has(formatItemKey(path.strip, formatSettingKey(first.cause, path.input)))) continue;
    const kind =
      first.kind === "setting" ? "setting" : first.kind === "patch" ? "patch" : "record again";
    outside.push({
      place: path.path,
      name: { code: "cause", name: first.name },
      todo: { code: "confirm", by: first.confirmBy },
      kind,
      ...needsOf(first.cause),
    });
  }
  for (const path of by.unmeasured) {
    outside.push({
      place: path.path,
      name: { code: "not-measured", ...getReason(path) },
      todo: { code: "record-again" },
      kind: "record again",
    });
  }
}

/** Share; a check that removes a cause this often is its repair. */
const setRight = 0.8;

function setsRight({ check }: NextCheck, { cause }: Cause): boolean {
  const kind = findCause(cause);
  return kind !== undefined && computeGoneShare(kind, check) >= setRight;
}

/** The most useful check, as something to do before the desk is opened. */
function checkItem({ path, causes }: RoundPath, next: NextCheck): OutsideItem {
  const { needs } = findCheck(next.check)?.step ?? {};
  return {
    place: path,
    name: { code: "is-it", causes: causes.slice(0, 2).map(({ name }) => name) },
    todo: { code: "confirm", by: next.todo },
    kind: "try first",
    ...(needs === undefined ? {} : { needs }),
    next,
  };
}

/** Controls that changed nothing in a second play, on paths without other findings. */
function fromChecks(round: Round, entries: readonly Entry[], drafts: Map<string, Draft>): void {
  const odd = new Set(
    round.paths.filter((path) => listSeriousFindings(path).length > 0).map(({ path }) => path),
  );
  for (const { id, line, closed } of entries) {
    if (line.kind !== "check" || line.outcome !== "idle" || closed !== undefined) continue;
    const { strip, input, check, figures } = line;
    if (line.round !== round.id || strip === undefined || odd.has(`${strip}/${input}`)) continue;
    const kind = causeKinds.find(({ idles }: CauseKind) => idles?.some((one) => one === check));
    if (kind === undefined) continue;
    const draft = draftOf(drafts, strip, kind.id, { code: "cause", name: kind.name });
    draft.isSure = true;
    draft.worth = together(draft, worths.breaks);
    if (draft.urgency === "noted") draft.urgency = "watch";
    if (input !== undefined) draft.inputs.add(input);
    draft.notes.push(id);
    draft.says.push({ code: "idle", note: id, check, figures });
  }
}

/** Tools needed for the check that confirms a cause. */
function needsOf(cause: string): Pick<OutsideItem, "needs"> {
  const needs = findCause(cause)?.settle.needs;
  return needs === undefined ? {} : { needs };
}

const notClear: ItemName = { code: "not-clear" };

function addPath(
  draft: Draft,
  path: RoundPath,
  cause: Cause | undefined,
  standing: "service" | "watch",
): void {
  const probability = cause?.probability ?? 0.5;
  draft.isSure = true;
  draft.inputs.add(path.input);
  draft.paths.push(path.path);
  const gross = 1 + path.oddness / (path.oddness + halfAgain);
  draft.worth = Math.max(draft.worth, worths[standing] * probability * gross);
  if (draft.urgency !== "service") draft.urgency = standing;
  if (cause?.probability !== undefined) {
    draft.probability = Math.max(draft.probability ?? 0, cause.probability);
  }
  const findings = listSeriousFindings(path).slice(0, 3);
  draft.says.push({ code: "found", path: path.path, findings });
  if (cause?.where !== undefined) draft.where = cause.where;
  if (cause?.confirmBy !== undefined) draft.settle = cause.confirmBy;
  if (cause?.care !== undefined) draft.care = cause.care;
}

function fromControl(heard: FaultyControl, drafts: Map<string, Draft>): void {
  const { strip, input, report } = heard;
  const cause = formatControlCause(report.control);
  const name = isControlCause(cause) ? nameHeard(report) : nameOf(cause);
  const draft = draftOf(drafts, strip, cause, name);
  const breaks = report.verdicts.some((verdict) => verdict === "drops out" || verdict === "jumps");
  draft.worth = together(draft, breaks ? worths.breaks : worths.scratchy);
  if (draft.urgency === "noted") draft.urgency = breaks ? "service" : "watch";
  draft.inputs.add(input);
  draft.isSure = true;
  draft.says.push(...listHeard(heard));
}

function fromMeter(
  { entry, line, verdict }: Meter,
  drafts: Map<string, Draft>,
  outside: OutsideItem[],
  dangers: readonly OpenDanger[],
): void {
  const { strip, what, input } = line;
  if (verdict.verdict === "in") return;
  const isPart = what === "resistor" || what === "capacitor";
  const named = !isPart || line.part === undefined ? {} : { part: line.part };
  const metered = { note: entry.id, what, ...named, said: verdict.said };
  if (strip === undefined || verdict.verdict === "unjudged") {
    if (verdict.verdict === "unjudged" && isPart) return;
    outside.push({
      place: formatPlace(line),
      name: { code: "metered", ...metered },
      todo: toMeterTodo(verdict),
      kind: "desk",
      measured: verdict.verdict,
    });
    return;
  }
  // No part of a strip can raise its rail, so the strip is not pulled.
  if (what === "rail" && isRaisedBySupply(line)) {
    outside.push({
      place: strip,
      name: { code: "rail-too-high" },
      todo: { code: "supply", ...metered, points: verdict.pointsTo },
      kind: "desk",
      measured: "out",
    });
    return;
  }
  const [first] = verdict.pointsTo;
  const kind = pointedBy(line, verdict);
  const guide = kind && getRepairGuide(kind.id);
  if (kind && guide?.place === "supply") {
    // There is nothing to repair on the strip, so it is not pulled.
    const steps = [guide.settle, ...guide.steps].filter(isAllowedAt(strip, dangers));
    const place = input === undefined ? strip : `${strip}/${input}`;
    outside.push({
      place,
      name: { code: "cause", name: kind.name },
      todo: { code: "repair-supply", ...metered, steps, repair: guide.repair },
      kind: "desk",
      measured: "out",
    });
    return;
  }
  const part = line.part ?? what;
  const draft = kind
    ? draftOf(drafts, strip, kind.id, { code: "cause", name: kind.name })
    : draftOf(drafts, strip, formatPartCause(part), { code: "off-value", parts: [part] });
  draft.isSure = true;
  draft.worth = together(draft, worths.meter);
  if (draft.urgency !== "service") draft.urgency = "service";
  if (input !== undefined) draft.inputs.add(input);
  draft.notes.push(entry.id);
  draft.says.push({ code: "metered", ...metered });
  if (first !== undefined) draft.says.push({ code: "points-to", point: first });
  if (isPart) {
    const [{ nominal = 0, unit }] = line.values;
    const value = getPreferredValue(nominal, what === "resistor" ? "E24" : "E6");
    draft.namedParts.push({ part, value: formatQuantity(value, unit) });
  }
}

function toMeterTodo({ verdict, pointsTo, remarks }: MeterVerdict): OutsideTodo {
  if (verdict === "unjudged") {
    const odd = remarks.filter(({ code }) => code === "rails-unusual" || code === "rails-unlike");
    return { code: "judge-first", remarks: odd };
  }
  return pointsTo.length === 0 ? { code: "find-feed" } : { code: "points-to", points: pointsTo };
}

/**
 * The cause that a voltage indicates; if no single value is out of range, e.g. two pins that only
 * differ, the first cause that such a reading can confirm. None for a component.
 */
function pointedBy({ what }: MeterLine, { findings }: MeterVerdict): CauseKind | undefined {
  const pointed = findings.map((one) => findPointedCause(one)).find((kind) => kind !== undefined);
  if (pointed) return pointed;
  return causeKinds.find(({ meter = [] }: CauseKind) =>
    meter.some(({ kind, weight }) => kind === what && weight === "settles"),
  );
}

/** A danger is always a separate item: no finding of a round explains it. */
function fromDanger(
  { strip, input, section, sectionKind, note, date, words, dangers }: OpenDanger,
  drafts: Map<string, Draft>,
  sectionDrafts: Map<string, Draft>,
) {
  const owner = strip ?? section;
  if (owner === undefined) return;
  const draft = draftOf(
    strip === undefined ? sectionDrafts : drafts,
    owner,
    formatDangerCause(note),
    { code: "danger", dangers },
  );
  if (strip === undefined && sectionKind !== undefined) draft.sectionKind = sectionKind;
  draft.worth = worths.danger;
  draft.urgency = "service";
  if (input !== undefined) draft.inputs.add(input);
  draft.says.push({ code: "noted", note, date, text: words });
  draft.notes.push(note);
}

/** Whether a step is allowed at a place with open dangers: nothing under power. */
function isAllowedAt(strip: string | undefined, dangers: readonly OpenDanger[]) {
  const off = listDangersAt(strip, dangers).length > 0;
  return ({ power }: BenchStep) => !off || power === "unplugged" || power === "bench";
}

/** Something outside as it can be done while dangers are open: only what was seen is left of it. */
function withoutPower(one: OutsideItem, dangers: readonly OpenDanger[]): readonly OutsideItem[] {
  const strip = one.place === wholeDesk ? undefined : one.place.split("/")[0];
  const at = listDangersAt(strip, dangers);
  if (at.length === 0) return [one];
  if (one.kind === "record again" || one.kind === "try first") return [];
  if (one.measured !== undefined) return [one];
  return [{ ...one, todo: { code: "power-off", notes: at.map(({ note }) => note) } }];
}

function fromNote(
  entry: Entry,
  {
    drafts,
    sectionDrafts,
    outside,
  }: { drafts: Map<string, Draft>; sectionDrafts: Map<string, Draft>; outside: OutsideItem[] },
): void {
  const { line, id } = entry;
  if (line.kind !== "fault") return;
  const { faults, isInOrder, control, symptom } = interpretNote(entry);
  if (isInOrder) return;
  const { strip, section, sectionKind } = line;
  const words = collapseSpace(line.text);
  const isOfDesk = strip === undefined && section === undefined;
  if (isOfDesk || faults.length === 0) {
    // A note without a recognised fault opens nothing.
    const part = faults.length === 0 ? findPart(line.text) : undefined;
    const todo: OutsideTodo =
      part !== undefined
        ? { code: "measure-part", note: id, place: formatPlace(pickPlace(line)), part }
        : faults.length === 0
          ? { code: "name-it", note: id }
          : { code: "first-aid", text: findFirstAid(faults[0]).todo };
    const date = line.date.slice(0, 10);
    const name = { code: "of-note", note: id, date, ...tagged(words, control, symptom) } as const;
    const kind = faults.length === 0 ? "look at" : "desk";
    outside.push({ place: formatPlace(pickPlace(line)), name, todo, kind });
    return;
  }
  const isSection = strip === undefined;
  for (const fault of faults) {
    const draft = fromNotedFault(
      entry,
      isInnerSection(sectionKind) ? { ...fault, causes: fault.causes.filter(isNotOfInput) } : fault,
      strip ?? section ?? wholeDesk,
      isSection ? sectionDrafts : drafts,
    );
    if (!isSection) continue;
    draft.sectionKind = sectionKind ?? "other";
    if (unsureKinds.includes(draft.sectionKind)) draft.isSure = false;
    if (getSectionGuide(draft.sectionKind) !== undefined)
      draft.name = { code: "noted", ...tagged(words, fault.control, fault.symptom) };
  }
}

/** Sections that have no input of a strip. */
function isInnerSection(kind: SectionKind | undefined): boolean {
  return kind !== undefined && innerKinds.includes(kind);
}
const innerKinds: readonly SectionKind[] = ["bus", "group", "send", "master", "monitor"];

/** Whether a cause can be elsewhere than at the input of a strip. */
function isNotOfInput(cause: string): boolean {
  const seat: readonly StageRole[] = findCause(cause)?.seat ?? [];
  return seat.length === 0 || !seat.every((role) => inputRoles.includes(role));
}
const inputRoles: readonly StageRole[] = ["socket", "input stage", "input switch"];

/** In these sections a note alone orders no part: a control does not show what failed there. */
const unsureKinds: readonly SectionKind[] = ["supply", "automation"];

function fromNotedFault(
  { id, line: { input, date, text } }: Entry,
  { control, symptom, causes, isSure }: FaultMeaning,
  strip: string,
  drafts: Map<string, Draft>,
): Draft {
  const words = collapseSpace(text);
  const fits = (draft: Draft) =>
    draft.strip === strip &&
    (input === undefined || draft.inputs.size === 0 || draft.inputs.has(input));
  // A note of a control that a pass found faulty belongs to that item.
  const own = control === undefined ? [] : [formatControlCause(control)];
  const known = [...own, ...causes]
    .map((cause) => [...drafts.values()].find((draft) => draft.cause === cause && fits(draft)))
    .find((draft) => draft !== undefined);
  // An item of a control is named after it, like one found by a pass.
  const [likeliest] = causes;
  const worn = likeliest === wornControl.id ? control : undefined;
  const cause = worn === undefined ? likeliest : formatControlCause(worn);
  const draft =
    known ??
    draftOf(
      drafts,
      strip,
      cause ?? `noted-${id}`,
      cause === undefined
        ? { code: "noted", ...tagged(words, control, symptom) }
        : worn === undefined
          ? nameOf(cause)
          : { code: "noted-control", control: worn },
    );
  if (input !== undefined) draft.inputs.add(input);
  if (isSure) draft.isSure = true;
  draft.worth = together(draft, symptom === "dead" ? worths.dead : worths.note);
  draft.says.push({
    code: "noted",
    note: id,
    date: date.slice(0, 10),
    ...tagged(words, control, symptom),
  });
  draft.notes.push(id);
  return draft;
}

function tagged(text: string, control?: string, symptom?: string): NotedWords {
  return {
    text,
    ...(control === undefined ? {} : { control }),
    ...(symptom === undefined ? {} : { symptom }),
  };
}

/** Worth of a draft that another source also reports. */
function together(draft: Draft, worth: number): number {
  const more = draft.worth > 0 ? worths.together : 0;
  return Math.max(draft.worth, worth) + more;
}

function nameOf(cause: string): ItemName {
  const name = findCause(cause)?.name;
  return name === undefined ? notClear : { code: "cause", name };
}

function finished(draft: Draft, dangers: readonly OpenDanger[]): PlanItem {
  const { strip, cause, name, urgency, says, where, settle, care, namedParts, paths, notes } =
    draft;
  const { sectionKind } = draft;
  const guide = getSectionGuide(sectionKind) ?? getRepairGuide(cause);
  const check: BenchStep = settle === undefined ? guide.settle : { ...guide.settle, text: settle };
  const isAllowed = isAllowedAt(strip, dangers);
  const steps = [check, ...guide.steps]
    .filter(isAllowed)
    .sort((a, b) => powerStates.indexOf(a.power) - powerStates.indexOf(b.power));
  const first = steps.filter(({ power }) => power === "in use");
  const look = guide.steps.filter(({ power }) => power !== "in use");
  return {
    key: formatItemKey(strip, cause),
    strip,
    ...(sectionKind === undefined ? {} : { sectionKind }),
    inputs: [...draft.inputs],
    cause,
    name,
    urgency,
    ...(draft.probability === undefined ? {} : { probability: draft.probability }),
    worth: Math.round(10 * draft.worth) / 10,
    minutes: guide.minutes,
    says,
    ...(where === undefined ? {} : { where }),
    steps,
    look: look.map(formatStep).join(" "),
    replace: guide.repair,
    settle: isAllowed(check) ? check.text : undefined,
    risks: care === undefined || isSaid(care, guide) ? guide.risks : [...guide.risks, care],
    ...(first.length === 0 ? {} : { before: first.map(formatStep).join(" ") }),
    parts: draft.isSure ? guide.parts : [],
    named: namedParts.map(({ part, value }) => `${part} ${value}`),
    ...(namedParts.length === 0 ? {} : { namedParts }),
    paths,
    notes,
  };
}

/** Whether a caution is in the bench record already: as a risk, or at its step. */
function isSaid(care: string, { settle, steps, risks }: RepairGuide): boolean {
  return risks.includes(care) || [settle, ...steps].some(({ danger }) => danger === care);
}

function placeOf({ strip, inputs }: PlanItem): string {
  return inputs.length === 1 ? `${strip}/${inputs[0]}` : strip;
}

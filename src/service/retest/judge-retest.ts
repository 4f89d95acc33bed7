import { noneOfThese } from "../../diagnose/causes/none-of-these.js";
import { getCauseName } from "../../diagnose/causes.js";
import type { Symptom } from "../../diagnose/note-vocabulary.js";
import { bringTogether } from "../../history/compare/common-units.js";
import { findConditions } from "../../history/compare/conditions.js";
import { createReferenceSideReader } from "../../history/compare/reference-side.js";
import { groupByStanding, listSeriousFindings } from "../../history/standing.js";
import type { Round } from "../../history/types.js";
import { listSecondSides, withSides } from "../../history/with-sides.js";
import type { Aspect } from "../../measure/reading-kind.js";
import { listNoteDangers } from "../notebook/open-dangers.js";
import type { Entry, Notebook } from "../notebook/types.js";
import { interpretNote } from "../plan/interpret-note.js";
import { formatItemKey, formatSettingKey, listPlanItems } from "../plan/items.js";
import type { PlanItem } from "../plan/types.js";
import { openGate } from "./gate.js";
import { combineOutcomes, getAspect, type HeldRounds, judgePath } from "./judge-path.js";
import { judgeSumsAgain } from "./judge-sums.js";
import { judgeMeters, keepFirstOut, listMeterThings } from "./meters.js";
import { findNewFaults, type NewFault } from "./new-faults.js";
import { pairPaths, rankAmongBase } from "./rank-among-base.js";
import type { RetestScope } from "./retest-scope.js";
import { findSharedChanges } from "./shared-changes.js";
import { judgeSharedFaults } from "./shared-faults.js";
import type { Retest, RetestItem, SharedChange } from "./types.js";
import { takeOffShared } from "./without-shared.js";

/**
 * Where each symptom shows (common practice, no source); `return`: nothing came back; `use`: it is
 * intermittent, or no signal shows it, so only use can prove it gone.
 */
const shownIn: Readonly<Record<Symptom, readonly (Aspect | "return")[] | "use">> = {
  scratch: "use",
  crackle: "use",
  dropout: "use",
  dead: ["return", "gain"],
  intermittent: "use",
  hum: ["hum", "noise"],
  buzz: ["hum", "noise"],
  hiss: ["noise"],
  distorted: ["distortion", "overload", "noise", "steadiness"],
  "clips-early": ["overload", "distortion"],
  quiet: ["gain", "return", "band"],
  loud: ["gain"],
  thin: ["band", "gain"],
  dull: ["band"],
  unsteady: ["steadiness", "gain"],
  whistle: ["noise", "distortion", "steadiness"],
  pop: "use",
  crosstalk: "use",
  stuck: "use",
  loose: "use",
  dark: "use",
};

/**
 * Compares a re-test with the round that raised the items of the plan, and decides whether the desk
 * can be closed. The common change of the re-tested paths is first judged by its own bounds; then
 * it is subtracted, and each path is ranked among the siblings of that round. An item is repaired
 * if the path is like its siblings again, and its reading excludes that the fault is still there.
 *
 * @param base the round of the plan
 * @param round the re-test, later
 * @throws DeskroundError `usage` as {@link assertBaseline}
 */
export function judgeRetest(base: Round, round: Round, scope: RetestScope): Retest {
  const { notebook, chosen, done = new Map() } = scope;
  const together = bringTogether(base, round);
  const conditions = findConditions(base, round);
  const raw = { base: withSides(together.earlier), round: withSides(together.later) };
  const seconds = listSecondSides(base);
  const secondNames = new Set(seconds.values());
  const sharedFaults = judgeSharedFaults(raw, scope);
  const alone = takeOffShared(raw, sharedFaults);
  const rounds = { earlier: alone.base, later: alone.round };
  const pairs = pairPaths(rounds, chosen.touched);
  const now = rankAmongBase(rounds, pairs, conditions);
  const sums = judgeSumsAgain({ ...alone, pairs, conditions });
  const held: HeldRounds = {
    ...alone,
    conditions,
    pairs,
    now,
    ...(sums.length === 0 ? {} : { sums }),
  };
  const { items } = listPlanItems(base, keepFirstOut(notebook));
  const retested = new Set(round.paths.map(({ strip }) => strip));
  const judged = items
    .filter(({ strip }) => retested.has(strip))
    .map((item) => judgeItem(item, held, notebook, seconds))
    // Items proved by an earlier re-test need no second proof.
    .filter(({ key, outcome }) => outcome !== "not shown" || !done.has(key));
  const settings = judgeSettings(held);
  const answered = judged.map((item) =>
    answerByCompanions(item, [...judged, ...settings], base, notebook),
  );
  const faults = findNewFaults(held);
  const sideOf = createReferenceSideReader(together.earlier, together.later);
  const shared = findSharedChanges(pairs, conditions).map((change): SharedChange => {
    const reference = sideOf?.(change);
    return reference === undefined ? change : { ...change, reference };
  });
  return {
    format: "deskround-retest",
    version: 1,
    desk: round.desk.name,
    round: round.id,
    date: round.date,
    against: base.id,
    gate: openGate({
      held,
      scope: { ...scope, chosen: withSecondSides(chosen, seconds) },
      items: [...answered, ...settings],
      faults,
      shared,
      sharedFaults,
    }),
    touched: chosen.touched,
    items: [
      ...faults.map((fault) => newFaultItem(fault, secondNames.has(fault.path.path))),
      ...answered,
      ...settings,
    ],
    shared,
    ...(sharedFaults.length === 0 ? {} : { sharedFaults }),
    ...(sums.length === 0 ? {} : { sums }),
    measured: round.paths.filter(({ status }) => status === "measured").length,
    unmeasured: round.paths.flatMap(({ path, status, findings }) =>
      status === "measured" || findings.some(({ reading }) => reading === "return") ? [] : [path],
    ),
    conditions: [...together.conditions, ...conditions.differences],
  };
}

/** Paths measured on both sides must be measured again on both. */
function withSecondSides(
  chosen: RetestScope["chosen"],
  seconds: ReadonlyMap<string, string>,
): RetestScope["chosen"] {
  const paths = chosen.paths.flatMap((path) => {
    const second = seconds.get(path.path);
    return second === undefined ? [path] : [path, { ...path, path: second }];
  });
  return { ...chosen, paths };
}

/** @param seconds the second sides of the earlier round's paths */
function judgeItem(
  item: PlanItem,
  held: HeldRounds,
  notebook: Notebook,
  seconds: ReadonlyMap<string, string>,
): RetestItem {
  const parts = [
    ...item.paths
      .flatMap((path) => listOddSides(path, held.base, seconds))
      .map((path) => judgePath(path, held)),
    ...judgeMeters(item, notebook),
  ];
  const outcome = combineOutcomes(parts.map((part) => part.outcome));
  const faults = notebook.entries.filter(
    ({ id, line, closed }) => item.notes.includes(id) && line.kind === "fault" && !closed,
  );
  const mended = outcome === "mended";
  const meters = mended
    ? listMeterThings(item, notebook).flatMap((thing) => thing.map(({ id }) => id))
    : [];
  return {
    key: item.key,
    strip: item.strip,
    cause: item.cause,
    name: item.name,
    paths: item.paths,
    outcome,
    figures: parts.length === 0 ? [{ code: "noted-only" }] : parts.map(({ figure }) => figure),
    closes: mended ? [...faults.filter(isProvable).map(({ id }) => id), ...meters] : [],
    staysOpen: faults.filter((entry) => !mended || !isProvable(entry)).map(({ id }) => id),
  };
}

/** The sides of a path with findings in the earlier round; the path itself if none has. */
function listOddSides(
  path: string,
  base: Round,
  seconds: ReadonlyMap<string, string>,
): readonly string[] {
  const odd = base.paths.filter(
    (one) =>
      (one.path === path || one.path === seconds.get(path)) && listSeriousFindings(one).length > 0,
  );
  return odd.length === 0 ? [path] : odd.map((one) => one.path);
}

/** Whether a measurement can show what a note says. */
function isProvable(entry: Entry): boolean {
  const { symptom, faults } = interpretNote(entry);
  // If a note has several faults, repair of one says nothing about the others.
  if (symptom === undefined || faults.length > 1 || faults[0].comesAndGoes) return false;
  return shownIn[symptom] !== "use" && listNoteDangers(entry).length === 0;
}

/**
 * Resolves a measurable note whose own item was not measured: if all findings of the earlier round
 * on the same strip or input are repaired, its own too, and some of them can show such a symptom.
 */
function answerByCompanions(
  item: RetestItem,
  all: readonly RetestItem[],
  base: Round,
  notebook: Notebook,
): RetestItem {
  if (item.outcome !== "not shown" || item.staysOpen.length === 0) return item;
  const notes = notebook.entries.filter(({ id }) => item.staysOpen.includes(id));
  const inputs = new Set(notes.flatMap(({ line }) => line.input ?? []));
  const companions = all.filter(
    ({ strip, paths }) =>
      strip === item.strip &&
      paths.length > 0 &&
      (inputs.size === 0 || paths.some((path) => inputs.has(path.slice(strip.length + 1)))),
  );
  const found = new Set(
    companions
      .flatMap(({ paths }) => base.paths.filter(({ path }) => paths.includes(path)))
      .flatMap(listSeriousFindings)
      .map(({ reading }) => getAspect(reading)),
  );
  const isShown = (entry: Entry) => {
    const { symptom } = interpretNote(entry);
    const shown = symptom === undefined ? "use" : shownIn[symptom];
    return shown !== "use" && shown.some((one) => found.has(one));
  };
  const isAnswered =
    companions.every(({ outcome }) => outcome === "mended") &&
    notes.every((entry) => isProvable(entry) && isShown(entry));
  if (!isAnswered) return item;
  return {
    ...item,
    outcome: "mended",
    figures: companions.map(({ name }) => ({ code: "answered-by", name })),
    closes: item.staysOpen,
    staysOpen: [],
  };
}

/** Settings and patches of the earlier round that were corrected. */
function judgeSettings(held: HeldRounds): readonly RetestItem[] {
  const retested = new Set(held.round.paths.map(({ path }) => path));
  return groupByStanding(held.base)
    .setting.filter(({ path }) => retested.has(path))
    .map((path) => {
      const [{ cause, name }] = path.causes;
      const { outcome, figure } = judgePath(path.path, held);
      const what = formatSettingKey(cause, path.input);
      return {
        key: formatItemKey(path.strip, what),
        strip: path.strip,
        cause: what,
        name: { code: "cause", name },
        paths: [path.path],
        outcome,
        figures: [figure],
        closes: [],
        staysOpen: [],
      };
    });
}

/** @param isSecond whether it is the second side of a stereo bus */
function newFaultItem({ path, findings }: NewFault, isSecond: boolean): RetestItem {
  const first = path.causes[0];
  return {
    key: formatItemKey(path.strip, `new-${path.input}${isSecond ? "-second" : ""}`),
    strip: path.strip,
    cause: first?.cause ?? "not-clear",
    name: { code: "cause", name: first?.name ?? getCauseName(noneOfThese.id) },
    paths: [path.path],
    outcome: "new fault",
    figures: [
      {
        code: "new-findings",
        path: path.path,
        findings: findings.slice(0, 3),
      },
    ],
    closes: [],
    staysOpen: [],
  };
}

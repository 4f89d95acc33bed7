import { DeskroundError } from "../../errors.js";
import { getReason } from "../../history/get-reason.js";
import { roundSignificant } from "../../history/round-for-storage.js";
import type { Round, RoundPath } from "../../history/types.js";
import { listSecondSides, withSides } from "../../history/with-sides.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import { groupBy } from "../../text/group-by.js";
import { toolVersion } from "../../version.js";
import type { LeftAlone } from "../notebook/left-alone.js";
import { compileLimit } from "./compile.js";
import { type ColumnReader, type CurveColumn, createColumnReader } from "./curve-columns.js";
import {
  type ComparisonResult,
  evaluateComparison,
  findDoubtfulPoint,
  findNearestPoint,
  listSlacks,
} from "./evaluate-comparison.js";
import type { ExpressionScope } from "./expression.js";
import type { Lack } from "./lack.js";
import { loadLockedMath } from "./locked-math.js";
import {
  createOperandReader,
  isValue,
  listPointsWithin,
  type MissingOperand,
  type OperandReader,
  type OperandValue,
} from "./operand-reader.js";
import { listLimitPaths } from "./scope.js";
import type {
  Check,
  CheckNote,
  CompiledLimit,
  CountedVerdict,
  Limit,
  LimitCheck,
  PathCheck,
  SharedCheck,
  StripCheck,
  Verdict,
} from "./types.js";
import { listVocabulary } from "./vocabulary.js";

export interface CheckInput {
  readonly round: Round;
  readonly baseline?: Round;
  readonly limits: readonly Limit[];
  /** How a verdict counts if the measurement is too uncertain to decide. */
  readonly undecided: "pass" | "fail";
  /** Accepted findings: limits on these readings do not count. */
  readonly leftAlone?: readonly LeftAlone[];
}

/**
 * Judges every path of a round by every limit that applies to it.
 *
 * A path is incomplete if it was not measured, lacks a figure needed by a limit from the file, or
 * could not be judged by any limit. A built-in limit that the round cannot be judged by (a short
 * signal without that segment, too few siblings) is left out with a note. A path without any limit
 * is not part of the check, and is named in the notes.
 *
 * @throws DeskroundError `limits-file`: an expression or a scope that cannot be understood, units
 *   that cannot be compared
 */
export async function checkRound(request: CheckInput): Promise<Check> {
  const { limits, undecided, leftAlone = [] } = request;
  // Each side of a stereo bus is judged separately.
  const round = withSides(request.round);
  const baseline = request.baseline && withSides(request.baseline);
  const seconds = listSecondSides(request.round);
  const secondNames = new Set(seconds.values());
  const sided = new Map(round.paths.map((path) => [path.path, path]));
  const sidesOf = (whole: RoundPath) =>
    seconds.has(whole.path)
      ? [whole.path, seconds.get(whole.path)].flatMap((name) => sided.get(name ?? "") ?? [])
      : [whole];
  const meaning: ExpressionScope = {
    math: await loadLockedMath(),
    round: listVocabulary(round),
    roundName: `round ${round.id}`,
    ...(baseline === undefined ? {} : { baseline: listVocabulary(baseline) }),
  };
  const read = createOperandReader(round, baseline);
  const readColumn = createColumnReader(round, baseline);
  const illBefore = outOfLine(baseline);
  const spared = new Set<string>();
  const leftOut: LeftOut[] = [];
  const checks = new Map<RoundPath, LimitCheck[]>();
  const unusable: CheckNote[] = [];
  const listed = limits.flatMap((limit) => {
    const named = listLimitPaths(limit, request.round.paths);
    const paths = named.flatMap(sidesOf);
    const compiled = compiledOrNote(limit, meaning, unusable);
    if (compiled === undefined) return [];
    for (const path of paths) {
      const own = checks.get(path) ?? [];
      checks.set(path, own);
      if (path.status !== "measured") continue;
      if (illBefore.has(path.path) && keepsToBaseline(compiled)) {
        spared.add(path.path);
        continue;
      }
      const check = checkPath(compiled, path, read, readColumn);
      // Readings of both sides together are stored with the first.
      const isOfBoth = findReadingKind(check.lacking ?? "")?.sides === "both";
      if (isOfBoth && secondNames.has(path.path)) continue;
      if (check.verdict === "incomplete" && canLeaveOut(compiled, check, round)) {
        const { lack, lacking } = check;
        if (lack !== undefined)
          leftOut.push({ limit: limit.name, lack, lacking, family: path.family });
      } else own.push(withoutPlace(excuse(check, `${path.strip}/${path.input}`, leftAlone)));
    }
    return { limit, paths: named.length };
  });
  for (const [path, own] of checks) {
    const isIdle = own.length === 0 && path.status === "measured";
    if (isIdle && secondNames.has(path.path)) checks.delete(path);
    else if (!secondNames.has(path.path)) own.push(...sumChecks(round, path));
  }
  const asked = round.paths.filter((path) => checks.has(path));
  const paths = asked.map((path) => pathCheck(path, checks.get(path) ?? [], undecided));
  const strips = stripChecks(paths);
  const shared = sharedChecks(round, paths, undecided);
  return {
    format: "deskround-check",
    version: 1,
    desk: round.desk.name,
    round: round.id,
    date: round.date,
    ...(baseline === undefined ? {} : { baseline: baseline.id }),
    tool: { name: "deskround", version: toolVersion },
    undecided,
    verdict: worst([...shared, ...strips].map(({ counts }) => counts)),
    limits: listed.map(({ limit, paths: count }) => ({
      name: limit.name,
      expression: limit.text,
      from: limit.from,
      ...(limit.why === undefined ? {} : { why: limit.why }),
      paths: count,
    })),
    ...(shared.length === 0 ? {} : { shared }),
    strips,
    paths,
    notes: [
      ...unusable,
      ...listLeftOut(leftOut),
      ...(spared.size === 0 ? [] : [{ code: "spared", paths: [...spared] } as const]),
      ...leftAlone.map((oddity) => ({ code: "left-alone", oddity }) as const),
      ...scopeNotes(listed, round.paths, asked),
    ],
  };
}

/**
 * A built-in limit is valid: if it cannot be compiled for this round or baseline, that is a note,
 * not an error in a file.
 */
function compiledOrNote(
  limit: Limit,
  meaning: ExpressionScope,
  unusable: CheckNote[],
): CompiledLimit | undefined {
  try {
    return compileLimit(limit, meaning);
  } catch (error) {
    if (limit.from === "file" || !(error instanceof DeskroundError)) throw error;
    unusable.push({ code: "limit-unusable", limit: limit.name, why: error.message });
    return undefined;
  }
}

/** An accepted reading fails no limit; the notes say so. */
function excuse(check: Placed, path: string, leftAlone: readonly LeftAlone[]): Placed {
  if (check.verdict !== "fail" && check.verdict !== "undecided") return check;
  const isAccepted = leftAlone.some(
    (one) =>
      one.path === path &&
      one.state !== "over" &&
      one.line.findings.some(
        (finding) => finding.path === path && finding.reading === check.reading,
      ),
  );
  return isAccepted ? { ...check, verdict: "pass" } : check;
}

type Placed = LimitCheck & {
  readonly missingFrom?: MissingOperand["where"];
};

function withoutPlace({ missingFrom: _, ...check }: Placed): LimitCheck {
  return check;
}

function checkPath(
  compiled: CompiledLimit,
  path: RoundPath,
  read: OperandReader,
  readColumn: ColumnReader,
): Placed {
  const subject = compiled.figures.find(({ whose }) => whose === "own");
  const head = { limit: compiled.limit.name, reading: subject?.id ?? "" };
  const incomplete = (
    lack: Lack,
    missingFrom: MissingOperand["where"],
    lacking?: string,
  ): Placed => ({
    ...head,
    verdict: "incomplete",
    lack,
    ...(lacking === undefined ? {} : { lacking }),
    missingFrom,
  });
  const points = pointsOf(compiled, path);
  if (points !== undefined && "missing" in points) return incomplete(points.missing, points.where);
  let decisive: { readonly judged: ComparisonResult; readonly hz: number | undefined } | undefined;
  const { comparisons } = compiled;
  const columns = points === undefined ? undefined : columnsOf(compiled, path, points, readColumn);
  const slacks = columns === undefined ? [] : listSlacks(comparisons, columns);
  // Only the worst point of a curve counts: the likely one is evaluated first, and points that
  // certainly pass are skipped.
  let k = findNearestPoint(slacks);
  let next = columns === undefined ? 1 : 0;
  const count = points?.length ?? 1;
  while (k < count) {
    const hz = points?.[k];
    const values: OperandValue[] = [];
    for (const figure of compiled.figures) {
      const found = read(figure, path, hz);
      if (!isValue(found)) {
        const what = figure.whose === "own" ? figure.id : `${figure.whose}(${figure.id})`;
        return incomplete(found.missing, found.where, what);
      }
      values.push(found);
    }
    for (const comparison of comparisons) {
      const judged = evaluateComparison(comparison, values);
      if (judged === undefined) return incomplete({ code: "division-by-zero" }, "path");
      if (decisive === undefined || isWorse(judged, decisive.judged)) decisive = { judged, hz };
    }
    k =
      columns === undefined || decisive === undefined
        ? next
        : findDoubtfulPoint(comparisons, columns, slacks, next, decisive.judged);
    next = k + 1;
  }
  if (decisive === undefined) return incomplete({ code: "no-point" }, "path");
  const { judged, hz } = decisive;
  const at = subject?.at;
  const atHz = hz ?? (at !== undefined && "hz" in at ? at.hz : undefined);
  return { ...head, ...rounded(judged), ...(atHz === undefined ? {} : { atHz }) };
}

/** The figures of a limit at all points of its band; undefined if one has none. */
function columnsOf(
  { figures }: CompiledLimit,
  path: RoundPath,
  points: readonly number[],
  readColumn: ColumnReader,
): readonly CurveColumn[] | undefined {
  const columns: CurveColumn[] = [];
  for (const figure of figures) {
    const column = readColumn(figure, path, points);
    if (column === undefined) return undefined;
    columns.push(column);
  }
  return columns;
}

/** Rounds numbers as stored in rounds: further digits are binary rounding errors. */
function rounded(judged: ComparisonResult): ComparisonResult {
  return {
    ...judged,
    value: roundSignificant(judged.value, 7),
    bound: roundSignificant(judged.bound, 7),
    slack: roundSignificant(judged.slack, 7),
    uncertainty: roundSignificant(judged.uncertainty, 3),
  };
}

/**
 * A sum of strips that is too high comes from one of them. Until that one is found, none of them
 * passes.
 */
function sumChecks({ sums = [] }: Round, { path, status }: RoundPath): readonly LimitCheck[] {
  if (status !== "measured") return [];
  return sums
    .filter(({ verdict, paths }) => verdict === "too-high" && paths.includes(path))
    .map(
      ({ reading, paths, value, expected = value, unit }): LimitCheck => ({
        limit: "sum",
        reading,
        verdict: "incomplete",
        lack: { code: "loud-sum", reading, strips: paths.length, above: value - expected, unit },
      }),
    );
}

/** The points at which a limit with a band is judged, Hz. */
function pointsOf(
  { band, figures }: CompiledLimit,
  path: RoundPath,
): readonly number[] | MissingOperand | undefined {
  if (band === undefined) return undefined;
  const curve = figures.find(({ at }) => at !== undefined && "fromHz" in at);
  return listPointsWithin(band, path.curves[curve?.id ?? ""]);
}

const gravity = { pass: 0, undecided: 1, fail: 2 } satisfies Partial<Record<Verdict, number>>;

/** The worse verdict counts, and of two equal ones the one further outside. */
function isWorse(a: ComparisonResult, b: ComparisonResult): boolean {
  return a.verdict === b.verdict ? a.slack < b.slack : gravity[a.verdict] > gravity[b.verdict];
}

/** Paths with findings in a round: their readings then are not a reference. */
function outOfLine(round: Round | undefined): ReadonlySet<string> {
  const ill = round?.paths.filter(({ findings }) =>
    findings.some(({ severity }) => severity === "service"),
  );
  return new Set(ill?.map(({ path }) => path));
}

/** Whether a limit is built in and compares a path with its baseline. */
function keepsToBaseline({ limit, figures }: CompiledLimit): boolean {
  return limit.from === "built-in" && figures.some(({ whose }) => whose === "baseline");
}

/**
 * A built-in limit does not count if the round itself cannot be judged by it: no path has the
 * figure, or too few of the family or baseline have it.
 */
function canLeaveOut({ limit, figures }: CompiledLimit, check: Placed, round: Round): boolean {
  if (limit.from !== "built-in") return false;
  if (check.missingFrom === "round") return true;
  return figures.some(
    ({ id, at }) =>
      !round.paths.some((path) => id in (at === undefined ? path.readings : path.curves)),
  );
}

function pathCheck(
  path: RoundPath,
  checks: readonly LimitCheck[],
  undecided: "pass" | "fail",
): PathCheck {
  const { strip, input, family, status, readings, absent, absences } = path;
  const verdict = pathVerdict(checks, undecided);
  return {
    path: path.path,
    strip,
    input,
    family,
    status,
    verdict,
    counts: verdict === "undecided" ? undecided : verdict,
    ...(status === "measured" ? {} : getReason(path)),
    checks,
    readings,
    absent,
    ...(absences === undefined ? {} : { absences }),
  };
}

/** `undecided` outranks `incomplete` only if it counts as failing. */
function pathVerdict(checks: readonly LimitCheck[], undecided: "pass" | "fail"): Verdict {
  const has = (wanted: Verdict) => checks.some(({ verdict }) => verdict === wanted);
  if (has("fail")) return "fail";
  if (has("undecided") && undecided === "fail") return "undecided";
  if (has("incomplete") || checks.length === 0) return "incomplete";
  return has("undecided") ? "undecided" : "pass";
}

const standingOrder: readonly CountedVerdict[] = ["pass", "incomplete", "fail"];

function worst(standings: readonly CountedVerdict[]): CountedVerdict {
  const indices = standings.map((standing) => standingOrder.indexOf(standing));
  // A round without a single path has nothing that could pass.
  return standingOrder[Math.max(...indices)] ?? "incomplete";
}

/**
 * A shared fault fails if it needs service, or if at least half of its paths fail; one only to be
 * watched is undecided if its paths pass.
 */
function sharedChecks(
  { shared = [] }: Round,
  paths: readonly PathCheck[],
  undecided: "pass" | "fail",
): readonly SharedCheck[] {
  return shared.map((fault): SharedCheck => {
    const own = paths.filter(({ path }) => fault.paths.includes(path));
    const failing = own.filter(({ counts }) => counts === "fail").length;
    const isFailing = fault.severity === "service" || (failing > 0 && 2 * failing >= own.length);
    const verdict = isFailing ? "fail" : "undecided";
    return { fault, verdict, counts: verdict === "fail" ? "fail" : undecided };
  });
}

/** By strip, in the order in which they first appear. */
function stripChecks(paths: readonly PathCheck[]): readonly StripCheck[] {
  return [...groupBy(paths, ({ strip }) => strip)].map(([strip, own]) => ({
    strip,
    counts: worst(own.map(({ counts }) => counts)),
    paths: own.map(({ path }) => path),
  }));
}

/** Paths without a limit, and limits without a path: mistakes that would go unnoticed. */
function scopeNotes(
  limits: readonly { readonly limit: Limit; readonly paths: number }[],
  all: readonly RoundPath[],
  asked: readonly RoundPath[],
): readonly CheckNote[] {
  const idle = limits.filter(({ paths }) => paths === 0).map(({ limit }) => limit.name);
  const free = all.filter((path) => !asked.includes(path)).map(({ path }) => path);
  return [
    ...idle.map((limit) => ({ code: "limit-for-no-path", limit }) as const),
    ...(free.length === 0 ? [] : [{ code: "paths-without-limit", paths: free } as const]),
  ];
}

/** A built-in limit that could not judge a path of a family. */
interface LeftOut {
  readonly limit: string;
  readonly lack: Lack;
  readonly lacking: string | undefined;
  readonly family: string;
}

/** One note for all limits that lack the same for the same families. */
function listLeftOut(leftOut: readonly LeftOut[]): readonly CheckNote[] {
  const keyOf = (...facts: unknown[]) => JSON.stringify(facts);
  const alike = [
    ...groupBy(leftOut, ({ limit, lack, lacking }) => keyOf(limit, lack, lacking)).values(),
  ];
  const familiesOf = (own: readonly LeftOut[]) => [...new Set(own.map((one) => one.family))];
  // Several readings may lack the same thing, e.g. siblings that have them.
  const lacks = groupBy(alike, (own) => keyOf(familiesOf(own), own[0].lack));
  return [...lacks.values()].map((group) => {
    const [[{ lack, lacking }]] = group;
    const limits = group.map(([{ limit }]) => limit);
    const one = limits.length === 1 && lacking !== undefined ? { lacking } : {};
    return { code: "left-out", families: familiesOf(group[0]), limits, lack, ...one };
  });
}

import { toPlacedInput } from "../analysis/judge/desk-reference.js";
import { createReferenceReader, prepareRound } from "../analysis/judge/rank-and-diagnose.js";
import type { OnAssigned, OnProgress } from "../analysis/types.js";
import { getDeskFolder, nameFolder } from "../desk/desk-file.js";
import { findClosestWord } from "../desk/paths.js";
import { readDesk } from "../desk/read/read-desk.js";
import type { Desk } from "../desk/types.js";
import { applyChecks } from "../diagnose/checks/apply-checks.js";
import {
  type CheckKind,
  type CheckOutcome,
  checkKinds,
  findCheck,
} from "../diagnose/checks/check-kinds.js";
import { type CheckJudgement, judgeCheck } from "../diagnose/checks/judge-check.js";
import { buildPathEvidence, type PathEvidence } from "../diagnose/path-evidence.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import { assertSameDesk } from "../history/same-desk.js";
import { listSeriousFindings } from "../history/standing.js";
import type { Round, RoundPath } from "../history/types.js";
import { withoutLevelDrift } from "../history/without-level-drift.js";
import { rankPartners } from "../rank/rank-partners.js";
import { formatCheckFigure } from "../report/check-figures/format-check-figure.js";
import { wordCause } from "../report/evidence/format-evidence.js";
import type { SecondPlay, SecondPlays } from "../service/checks/types.js";
import { weighPath } from "../service/checks/weigh-checks.js";
import { appendToNotebook } from "../service/notebook/append.js";
import type { NewNote } from "../service/notebook/types.js";
import { formatCommand } from "../text/program-name.js";
import { type AnalyzeRequest, analyze } from "./analyze.js";
import { findLatestWholeRound } from "./plan.js";
import { readChecks } from "./read-checks.js";
import { getDate } from "./wall-time.js";

export interface SecondPlayRequest extends AnalyzeRequest {
  /** Id of the check: which setting was changed. */
  readonly setting: string;
}

/**
 * Measures paths that were recorded again with one setting changed, compares each with the latest
 * whole round, and notes the result. They are not stored as a round, since the settings differ from
 * the sheet.
 *
 * @throws DeskroundError as {@link analyze}; `usage` for an unknown setting, no path named, or no
 * path with findings; `round-file` without a round. Nothing is noted then.
 */
export async function analyzeSecondPlay(
  request: SecondPlayRequest,
  onProgress: OnProgress,
  onAssigned?: OnAssigned,
): Promise<SecondPlays> {
  const kind = pickCheck(request.setting);
  if (request.only === undefined && request.map === undefined) {
    throw new DeskroundError(
      "usage",
      "Which path was recorded with a setting changed is not given.",
      `Name it with --only, for example: ${formatCommand(`analyze again.wav --only 7/mic --setting ${kind.id}`)}`,
    );
  }
  const desk = readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const base = await findLatestWholeRound(folder);
  if (base === undefined) {
    throw new DeskroundError(
      "round-file",
      `No round of the whole desk is stored in ${nameFolder(folder)}: there is nothing to compare a second play with.`,
      `\`${formatCommand("analyze")}\` makes one, of recordings with everything set as on the sheet.`,
    );
  }
  assertSameDesk(base, { id: desk.id, name: desk.name });
  const isLeftOut = base.calibration === null && (await readCalibration(folder)) !== undefined;
  const again = await analyze(
    { ...request, keep: "preview", ...(isLeftOut ? { calibration: "leave-out" } : {}) },
    onProgress,
    onAssigned,
  );
  if (again.signal.profile === "controls") throw aPass();
  assertSameSignal(again, base);
  const evidence = readEvidence(desk, base);
  const judged = again.paths
    .filter(({ status }) => status === "measured")
    .map((recorded) => judgeOne(kind, recorded, base, evidence));
  const kept = request.keep === "preview" ? [] : judged.filter(isTelling);
  const date = getDate(request.date);
  const lines = kept.map(({ path, judgement }): NewNote => {
    const { strip, input } = path;
    const { outcome } = judgement as { outcome: CheckOutcome };
    const figures = judgement.figures.map(formatCheckFigure);
    return {
      date,
      kind: "check",
      strip,
      input,
      round: base.id,
      check: kind.id,
      outcome,
      figures,
      text: "",
    };
  });
  const ids = lines.length === 0 ? [] : appendToNotebook(folder, lines).ids;
  const { results } = await readChecks(request.desk, base);
  return {
    against: base.id,
    plays: judged.map((one): SecondPlay => {
      const { path, recorded, judgement } = one;
      const note = ids[kept.indexOf(one)];
      // Without storing, it counts for this answer only.
      const own = results.get(path.path) ?? [];
      const preview =
        note === undefined && judgement.outcome !== "unclear"
          ? [{ check: kind.id, outcome: judgement.outcome, source: "this recording" }]
          : [];
      const all = new Map([...results, [path.path, [...own, ...preview]]]);
      const before = applyChecks(
        path.causes,
        own.filter(({ source }) => source !== note),
      );
      return {
        outcome: judgement.outcome,
        figures: judgement.figures.map(formatCheckFigure),
        path: path.path,
        recorded: recorded.path,
        check: kind.id,
        ...(note === undefined ? {} : { note }),
        before: before.map(wordCause),
        now: pickShown(weighPath(path, base, all, desk)),
      };
    }),
  };
}

/** The parts of a path that a second play can change. */
function pickShown({ path, causes, next }: RoundPath): SecondPlay["now"] {
  return { path, causes: causes.map(wordCause), ...(next === undefined ? {} : { next }) };
}

interface JudgedPlay {
  readonly path: RoundPath;
  readonly recorded: RoundPath;
  readonly judgement: CheckJudgement;
}

const isTelling = ({ judgement }: JudgedPlay) => judgement.outcome !== "unclear";

type ReadEvidence = (path: RoundPath, measured?: RoundPath) => PathEvidence;

function judgeOne(
  kind: CheckKind,
  recorded: RoundPath,
  base: Round,
  evidence: ReadEvidence,
): JudgedPlay {
  const path = findQuestioned(kind, recorded, base);
  const own = base.paths.find((one) => one.path === recorded.path);
  if (own === undefined) {
    throw new DeskroundError(
      "usage",
      `${recorded.path} is not in round ${base.id}: there is nothing to compare a second play with.`,
      "Record it with everything set as on the sheet first.",
    );
  }
  return { path, recorded, judgement: judgeCheck(kind, evidence(path), evidence(own, recorded)) };
}

/** The path to decide on: the one recorded, or the oddest other input of its strip. */
function findQuestioned(kind: CheckKind, recorded: RoundPath, { id, paths }: Round): RoundPath {
  const own = paths.filter(({ strip }) => strip === recorded.strip);
  const isOther = kind.id === "other-input";
  const [odd] = own
    .filter((one) => (one.path === recorded.path) !== isOther)
    .sort((a, b) => b.oddness - a.oddness);
  const asks = kind.looksAt === "bands" || kind.looksAt === "pan";
  if (odd?.status === "measured" && (asks || listSeriousFindings(odd).length > 0)) return odd;
  throw new DeskroundError(
    "usage",
    isOther
      ? `No other input of strip ${recorded.strip} stands out in round ${id}: there is nothing to decide.`
      : `Nothing stands out on ${recorded.path} in round ${id}: there is nothing to decide.`,
    `\`${formatCommand("show")}\` lists the paths that stand out.`,
  );
}

/** Evidence of a stored round's paths, or of a recording put in place of one. */
function readEvidence(desk: Desk, round: Round): ReadEvidence {
  const { inputs, flow, strips, construction } = desk;
  const prepared = prepareRound(
    { paths: round.paths, inputs, flow, strips, construction },
    withoutLevelDrift(round).paths.map(toPlacedInput),
  );
  const ranked = rankPartners(prepared.inputs);
  const around = createReferenceReader(prepared.inputs, inputs, flow);
  return (path, measured) => {
    const at = round.paths.findIndex((one) => one.path === path.path);
    const { spoken, findings } = ranked[at];
    const about = around(spoken, path.input);
    if (measured === undefined) return buildPathEvidence(spoken, findings, about);
    const { measurement } = toPlacedInput(measured);
    return buildPathEvidence(
      { ...spoken, ...(measurement === undefined ? {} : { measurement }) },
      [],
      about,
    );
  };
}

function pickCheck(text: string): CheckKind {
  const named = checkKinds.filter(({ looksAt }: CheckKind) => looksAt !== "controls");
  const kind = findCheck(
    text
      .trim()
      .toLowerCase()
      .replace(/[\s_]+/g, "-"),
  );
  if (kind !== undefined && kind.looksAt !== "controls") return kind;
  const ids = named.map(({ id }) => id);
  const close = findClosestWord(text, ids);
  throw new DeskroundError(
    "usage",
    `"${text}" is not a setting that a second play can change.`,
    `${close === undefined ? "" : `Was ${close} meant? `}It is one of: ${ids.join(", ")}.`,
  );
}

/** Rejects another signal: its readings would differ by more than the changed setting. */
function assertSameSignal({ signal: own }: Round, { id, signal }: Round): void {
  const keys = ["profile", "version", "band"] as const;
  if (keys.every((key) => own[key] === signal[key])) return;
  throw new DeskroundError(
    "usage",
    `This is the ${own.profile} signal (${own.band}), but round ${id} was played with the ${signal.profile} one (${signal.band}).`,
    `Play the same again: ${formatCommand(`signal --profile ${signal.profile} --rate ${signal.sampleRate}`)}. Nothing was noted.`,
  );
}

function aPass(): DeskroundError {
  return new DeskroundError(
    "usage",
    "This is a controls pass, which is analyzed separately.",
    "Analyze it without --setting; its results are weighed into the causes in any case.",
  );
}

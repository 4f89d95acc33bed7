import { listCaptureDoubts } from "../analysis/read/capture-doubts.js";
import {
  type CaptureReadings,
  type ReadCapture,
  readCaptures,
} from "../analysis/read/read-captures.js";
import { toDisplayName } from "../capture/containers/open-file.js";
import type { DoubtCode } from "../doubt.js";
import { DeskroundError } from "../errors.js";
import type { Heard } from "../not-measured.js";
import { formatHeard } from "../report/not-measured/format-heard.js";
import { formatNoReturn } from "../report/not-measured/format-no-return.js";
import {
  cutAdvice,
  formatCutShort,
  formatHeardAdvice,
} from "../report/not-measured/heard-advice.js";

/** Thrown if no recording contains the signal; says what each contains instead. */
export class NoReturnError extends DeskroundError {
  readonly heard: readonly Heard[];

  constructor(
    message: string,
    hint: string,
    doubts: DeskroundError["doubts"],
    heard: readonly Heard[],
  ) {
    super("no-return", message, hint, undefined, doubts);
    this.heard = heard;
  }
}

/**
 * Looks through capture files for returns, as {@link readCaptures} does.
 *
 * @throws DeskroundError `no-return` when none of them holds one; else as that does
 */
export async function readReturns(
  ...[files, onProgress, channelsOf]: Parameters<typeof readCaptures>
): Promise<CaptureReadings> {
  const read = await readCaptures(files, onProgress, channelsOf);
  if (read.captures.every(({ found }) => found.returns.length === 0)) {
    throw nothingFound(read.captures);
  }
  return read;
}

const maxNamed = 3;

function nothingFound(captures: readonly ReadCapture[]): NoReturnError {
  const heard = captures.flatMap(({ info, instead }) =>
    instead === undefined ? [] : [{ name: toDisplayName(info.file), instead }],
  );
  const cuts = heard.filter(({ instead }) => instead.cut !== undefined);
  const others = heard.filter(({ instead }) => instead.cut === undefined);
  const hints = [
    ...(cuts.length > 0 ? [cutAdvice] : []),
    ...(others.length > 0 ? [adviseOn(others.map(({ instead }) => instead.heard))] : []),
  ];
  // Doubts that message and hint cover are not repeated.
  const told = new Set<DoubtCode>(cuts.length > 0 ? cutCodes : aboutOf(heard[0].instead.heard));
  const doubts = listCaptureDoubts(captures).filter(({ code }) => !told.has(code));
  const [first] = heard;
  if (heard.length === 1) {
    const message = formatNoReturn(first.name, first.instead);
    return new NoReturnError(message, hints.join(" "), doubts, [first.instead.heard]);
  }
  // Files that are cut short explain more than silent ones.
  const named = [...cuts, ...others]
    .slice(0, maxNamed)
    .map(({ name, instead }) =>
      instead.cut === undefined
        ? `${name}: ${formatHeard(instead.heard)}`
        : `${name}: cut short, ${formatCutShort(instead.cut)}`,
    );
  const more = heard.length > maxNamed ? "; …" : "";
  const all = heard.every(({ instead }) => instead.blame === "path") ? [allDead] : [];
  return new NoReturnError(
    `None of the ${heard.length} recordings contains a return (${named.join("; ")}${more}).`,
    [...hints, ...all].join(" "),
    doubts,
    heard.map(({ instead }) => instead.heard),
  );
}

function adviseOn(heard: readonly Heard[]): string {
  const [first, ...more] = heard.map(formatHeardAdvice);
  return more.every((one) => one === first) ? first : anyHint;
}

/** Doubts that a file was cut short. */
const cutCodes: readonly DoubtCode[] = ["samples-cut-short", "frames-cut-short"];

/** Doubts that the advice for this result already covers. */
function aboutOf(heard: Heard): readonly DoubtCode[] {
  if (heard.code === "outputs-mixed") return ["outputs-mixed"];
  const isInvalid = heard.code === "invalid-samples" || ("isInvalid" in heard && heard.isInvalid);
  return isInvalid ? ["invalid-samples"] : [];
}

const allDead =
  "If all of these are right, every path is dead: look at what all of them share, the master section, its supply, the mix output and the interface.";
const anyHint =
  "Was the signal played into the desk, at its own sample rate, while these were recorded? Check patch, level and rate, then record again.";

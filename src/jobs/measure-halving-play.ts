import { getChannelKind } from "../analysis/read/channel-kind.js";
import { measureTakes } from "../analysis/takes/measure-takes.js";
import { takeMeasurements } from "../analysis/takes/take-measurements.js";
import type { OnProgress } from "../analysis/types.js";
import type { SignalReturn } from "../capture/types.js";
import { getDeskFolder } from "../desk/desk-file.js";
import type { PlannedPass } from "../desk/passes.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import type { Round } from "../history/types.js";
import type { JudgedSum } from "../rank/sums.js";
import { formatAbsence } from "../report/absences/format-absence.js";
import { formatNotMeasured } from "../report/not-measured/format-not-measured.js";
import { formatList } from "../text/format-list.js";
import { withThreadPool } from "../threads/thread-pool.js";
import { readReturns } from "./read-returns.js";

/** A play in which some strips of a group are muted. */
export interface AskedPlay {
  readonly recording: string;
  /** The round in which the whole group was too high. */
  readonly round: Round;
  readonly sum: JudgedSum;
  /** The pass in which the group plays; undefined if it is no longer planned. */
  readonly pass: PlannedPass | undefined;
  /** Paths of the group that should be open. */
  readonly open: readonly string[];
}

/**
 * The reading of a recording in which only some strips of a group are open.
 *
 * @throws DeskroundError `usage` if other strips were open than requested, or it is not a play of
 * the pass; `no-return`
 */
export async function measureHalvingPlay(
  deskName: string,
  asked: AskedPlay,
  onProgress: OnProgress,
): Promise<number> {
  const { recording, sum, open } = asked;
  const desk = readDesk(deskName);
  const calibration = await readCalibration(getDeskFolder(deskName));
  return withThreadPool(async () => {
    const kindOf = getChannelKind(desk.channels ?? desk.buses, []);
    const { captures } = await readReturns([recording], onProgress, kindOf);
    const found = findOwn(asked, captures[0].found.returns);
    const takes = new Map([[open[0] ?? sum.paths[0], [found]]]);
    const recorded = await measureTakes(takes, captures, desk, undefined, onProgress);
    const taken = takeMeasurements(recorded, captures, desk, calibration, new Map());
    const [chosen] = taken.chosen.values();
    const value = chosen?.counts.measurement?.readings[sum.reading]?.value;
    if (value !== undefined) return value;
    const absence = chosen?.counts.measurement?.absent[sum.reading];
    const unusable = chosen?.counts.unusable;
    const why =
      unusable === undefined ? absence && formatAbsence(absence) : formatNotMeasured(unusable);
    throw new DeskroundError(
      "no-return",
      `${recording}: ${why ?? "nothing could be read from it"}.`,
      "Record this play again.",
    );
  });
}

/**
 * Ratio of amplitudes. A muted strip may leak; below this, relative to the loudest open one, it was
 * muted.
 */
const leakShare = 0.1;

/**
 * The return that the sum is read from. First checks which strips were open: each return carries
 * its output.
 */
function findOwn(asked: AskedPlay, returns: readonly SignalReturn[]): SignalReturn {
  const { recording, round, sum, pass, open } = asked;
  if (pass === undefined) return returns[0];
  const plays = pass.plays.filter(({ path }) => sum.paths.includes(path));
  const channel =
    new Set(plays.map((play) => play.channel)).size === 1 ? plays[0].channel : undefined;
  const own = returns.filter((one) => channel === undefined || one.channel === channel);
  const isOther = ({ output }: SignalReturn) => !pass.outputs.includes(output ?? 0);
  if (own.length === 0 || own.some(isOther)) {
    throw new DeskroundError(
      "usage",
      `${recording}: this is not a play of pass ${pass.number}, in which ${formatList(sum.paths)} are heard together.`,
      "Play the file of that pass, patched and routed as its sheet says.",
    );
  }
  const loudest = Math.max(...own.map(({ gain }) => gain));
  const answering = new Set(
    own.filter(({ gain }) => gain > leakShare * loudest).map(({ output }) => output),
  );
  const heard = plays.flatMap(({ path, output }) => (answering.has(output) ? [path] : []));
  const measured = new Set(
    round.paths.flatMap(({ path, status }) => (status === "measured" ? [path] : [])),
  );
  const mute = open.filter((path) => measured.has(path) && !heard.includes(path));
  const loud = heard.filter((path) => !open.includes(path));
  if (mute.length + loud.length > 0) throw otherStrips(asked, mute, loud);
  return own.find(({ output }) => answering.has(output)) ?? own[0];
}

function otherStrips(
  { recording, sum, open }: AskedPlay,
  mute: readonly string[],
  loud: readonly string[],
): DeskroundError {
  const closed = sum.paths.filter((path) => !open.includes(path));
  const seen = [
    ...(loud.length > 0 ? [`${formatList(loud)} came back and should have been muted`] : []),
    ...(mute.length > 0 ? [`${formatList(mute)} did not come back and should have been open`] : []),
  ];
  return new DeskroundError(
    "usage",
    `${recording}: this is not the play that was asked for: ${seen.join("; ")}.`,
    `Give the recordings in the order in which they were asked for, each once; or open ${open.join(", ")}, mute ${closed.join(", ")}, and play again.`,
  );
}

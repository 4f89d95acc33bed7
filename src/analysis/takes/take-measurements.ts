import type { Desk } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import type { UsedCalibration } from "../../history/types.js";
import type { ReadCapture } from "../read/read-captures.js";
import { applyCalibration } from "./apply-calibration.js";
import { type ChosenTake, chooseTakes, listTakeDoubts } from "./choose-takes.js";
import { dropCopies } from "./copies.js";
import type { MeasuredTake, MeasuredTakes } from "./measure-takes.js";
import { dropOverlaps } from "./overlaps.js";
import { listRecordingDoubts } from "./recording-doubts.js";

/** The takes that count, in the units of the round. */
export interface TakenMeasurements {
  readonly chosen: ReadonlyMap<string, ChosenTake>;
  /** Takes of the reference path, in the order played; empty if there is none. */
  readonly reference: readonly MeasuredTake[];
  /** Undefined if none was used. */
  readonly calibration: UsedCalibration | undefined;
  readonly doubts: {
    readonly calibration: readonly Doubt[];
    readonly takes: readonly Doubt[];
    readonly recording: readonly Doubt[];
  };
}

/**
 * Decides which take of each path counts, excludes copies and overlaps, and removes the interface
 * from the readings.
 *
 * @param recorded all takes, levels in dBFS
 *
 * @param asked take number chosen by the user, by path
 */
export function takeMeasurements(
  recorded: MeasuredTakes,
  captures: readonly ReadCapture[],
  desk: Desk,
  calibration: UsedCalibration | undefined,
  asked: ReadonlyMap<string, number>,
): TakenMeasurements {
  const own = dropOverlaps(dropCopies(recorded));
  const applied = applyCalibration(own, captures, desk, calibration);
  const takes = new Map(applied.takes);
  const reference = takes.get(desk.referencePath?.name ?? "") ?? [];
  if (desk.referencePath !== undefined) takes.delete(desk.referencePath.name);
  const chosen = chooseTakes(takes, asked);
  const counting = new Map([...chosen].map(([path, { counts }]) => [path, counts]));
  return {
    chosen,
    reference,
    calibration: applied.calibration,
    doubts: {
      calibration: applied.doubts,
      takes: listTakeDoubts(chosen),
      recording: listRecordingDoubts(counting, captures),
    },
  };
}

import type { MeasuredTake } from "../analysis/takes/measure-takes.js";
import type { RecordingInfo } from "../capture/types.js";
import type { SittingTake, TakePlace } from "./types.js";

/** The measurements of the takes of a sitting, and the recordings that hold them. */
export interface SittingTakes {
  /** By file. */
  readonly infos: ReadonlyMap<string, RecordingInfo>;
  readonly find: (take: TakePlace) => MeasuredTake | undefined;
  readonly add: (take: TakePlace, one: MeasuredTake) => void;
  readonly addInfo: (info: RecordingInfo) => void;
  /**
   * A recording has another name now.
   *
   * @param takes that lie in it, under the new name
   */
  readonly rename: (from: string, to: string, takes: readonly SittingTake[]) => void;
}

/** Starts with nothing measured. */
export function createSittingTakes(): SittingTakes {
  /** By place. */
  const measured = new Map<string, MeasuredTake>();
  const infos = new Map<string, RecordingInfo>();
  return {
    infos,
    find: (take) => measured.get(keyOf(take)),
    add: (take, one) => void measured.set(keyOf(take), one),
    addInfo: (info) => void infos.set(info.file, info),
    rename(from, to, takes) {
      const info = infos.get(from);
      infos.delete(from);
      if (info !== undefined) infos.set(to, { ...info, file: to });
      for (const take of takes) {
        const old = keyOf({ ...take, file: from });
        const one = measured.get(old);
        measured.delete(old);
        if (one) measured.set(keyOf(take), { ...one, found: { ...one.found, file: to } });
      }
    },
  };
}

function keyOf({ file, channel, startSample }: TakePlace): string {
  return `${startSample} ${channel} ${file}`;
}

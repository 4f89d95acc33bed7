import type { ListenRequest } from "../../src/jobs/listen.js";
import { answer, joined, pause } from "../jobs/recordings.js";

/** Samples per second of the recordings. */
export const rate = 44_100;

/** What comes back from a strip; every strip a little different, as strips are. */
export const strip = (k: number, gain = 0.25) =>
  answer(rate, { gain: gain * (1 + 0.003 * (k % 3)), seed: k, noise: 1e-5 });

/** One return after another, a breath between. */
export const evening = (parts: readonly Float64Array[]) =>
  joined(...parts.flatMap((part) => [pause(1.1, rate), part]), pause(1, rate));

/** A sitting that listens to a recording or a folder until all paths are there. */
export function ask(
  desk: string,
  target: string,
  more: Partial<ListenRequest> = {},
): ListenRequest {
  return {
    desk,
    target,
    date: "2031-03-14",
    calibration: "use",
    sitting: "go-on",
    already: "leave-alone",
    end: "when-complete",
    ...more,
  };
}

import { isAbsent } from "../absence.js";
import { isAtClipLevel, isClipped, type ReturnAudio } from "../return-audio.js";
import type { ReturnContext } from "../return-context-types.js";
import type { ReturnEvent } from "../types.js";
import { findDropouts } from "./dropouts.js";

/** Number of clicks listed, the largest; their total is a reading. */
const mostClicks = 50;
const mostClipped = 50;
/** Seconds; clipping within this time is one event. */
const togetherS = 0.05;

/**
 * Notable events of a return, in order of time.
 *
 * @example
 * const context = createReturnContext(audio);
 * listReturnEvents(context); // []
 */
export function listReturnEvents(context: ReturnContext): readonly ReturnEvent[] {
  return [
    ...clickMarks(context),
    ...context.levelBreaks(),
    ...dropoutMarks(context),
    ...clippedMarks(context.audio),
  ].sort((a, b) => a.atS - b.atS);
}

function clickMarks(context: ReturnContext): readonly ReturnEvent[] {
  const heard = context.clicks();
  if (isAbsent(heard)) return [];
  return [...heard.clicks]
    .sort((a, b) => b.overDb - a.overDb)
    .slice(0, mostClicks)
    .map(({ atS, overDb }) => ({ kind: "click", atS, overDb }));
}

function dropoutMarks(context: ReturnContext): readonly ReturnEvent[] {
  return findDropouts(context).map(({ what, samples, fromS, toS }) => ({
    kind: "dropout",
    what,
    samples,
    atS: fromS,
    untilS: toS,
  }));
}

/** Times at which the converter clipped: two or more neighbouring samples at its limit. */
function clippedMarks(audio: ReturnAudio): readonly ReturnEvent[] {
  const { samples, origin, clock } = audio;
  if (!isClipped(samples, audio)) return [];
  const marks: { kind: "clipped"; atS: number; untilS: number }[] = [];
  let run = 0;
  for (let n = 0; n < samples.length; n++) {
    run = isAtClipLevel(samples[n], audio) ? run + 1 : 0;
    if (run < 2) continue;
    const untilS = (n - origin) / clock;
    const last = marks.at(-1);
    if (last && untilS - last.untilS < togetherS) last.untilS = untilS;
    else if (marks.length < mostClipped) marks.push({ kind: "clipped", atS: untilS, untilS });
  }
  return marks;
}

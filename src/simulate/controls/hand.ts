import { type Rng, uniform } from "../rng.js";

/** A stroke of the hand from one position to another, as fractions of the travel. */
export interface Stroke {
  readonly startS: number;
  readonly lengthS: number;
  readonly from: number;
  readonly to: number;
}

/** When a hand should move something, and when it must have put it back. */
export interface Span {
  readonly fromS: number;
  readonly untilS: number;
  readonly backS: number;
}

/** A person hears the count-in, reaches over and starts: delay up to this, seconds. */
const latestS = 1.8;

const draw = (rng: Rng, from: number, to: number) => from + (to - from) * uniform(rng);

/** Strokes from end to end and back to the mark, started and ended late, as by a person. */
export function turning(span: Span, markAt: number, rng: Rng): readonly Stroke[] {
  const strokes: Stroke[] = [];
  let atS = span.fromS + draw(rng, 0, latestS);
  let at = markAt;
  let goal = uniform(rng) < 0.5 ? 0 : 1;
  const lastS = span.untilS + draw(rng, 0, Math.min(1, span.backS - span.untilS - 1.5));
  while (atS < lastS - 1) {
    const lengthS = draw(rng, 0.7, 1.8) * Math.max(0.3, Math.abs(goal - at));
    strokes.push({ startS: atS, lengthS, from: at, to: goal });
    atS += lengthS + draw(rng, 0, 0.25);
    at = goal;
    goal = 1 - goal;
  }
  strokes.push({ startS: atS, lengthS: draw(rng, 0.6, 1.1), from: at, to: markAt });
  return strokes;
}

/** Times at which a switch is pressed, an even number so that it ends as it started. */
export function pressing(span: Span, rng: Rng): readonly number[] {
  const presses: number[] = [];
  let atS = span.fromS + draw(rng, 0.1, latestS);
  while (atS < span.untilS + 0.5) {
    presses.push(atS);
    atS += draw(rng, 0.45, 1.3);
  }
  return presses.length % 2 === 0 ? presses : [...presses, atS];
}

/**
 * Position of the hand at a time: minimum-jerk strokes (Flash and Hogan, J. Neurosci. 5(7), 1985).
 */
export function placeOf(strokes: readonly Stroke[], rest: number): (timeS: number) => number {
  let k = 0;
  return (timeS) => {
    while (k + 1 < strokes.length && strokes[k + 1].startS <= timeS) k++;
    const stroke = strokes[k];
    if (stroke === undefined || timeS < stroke.startS) return rest;
    const u = Math.min(1, (timeS - stroke.startS) / stroke.lengthS);
    const part = u * u * u * (10 + u * (6 * u - 15));
    return stroke.from + (stroke.to - stroke.from) * part;
  };
}

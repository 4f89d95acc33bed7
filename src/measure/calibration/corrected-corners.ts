import { cornerHigh, cornerLow } from "../readings/corners.js";
import type { Curve, Curves, Reading, Readings } from "../types.js";
import { interpolateCurve } from "./corrected-curves.js";

const halfPowerDb = 10 * Math.log10(2);
/** Slope of a first-order roll-off at its corner, decibels per neper of frequency: the least there is. */
const leastSlope = 10 / Math.LN10;

/**
 * The −3 dB corners of the path without those of the interface: each moves by as much as dividing
 * the interface out of the response moves that curve's corner. One that lies beyond the curve
 * stays, and its uncertainty grows by what the interface could have moved it.
 *
 * @param readings of the path through the interface
 * @param heard its curves
 * @param cleared the same without the interface
 * @param own the interface's response
 * @returns the corners that change, or why one cannot be read any more
 */
export function correctCorners(
  readings: Readings,
  heard: Curves,
  cleared: Curves,
  own: Curve | undefined,
): Readonly<Record<string, Reading | string>> {
  const before = heard.response;
  const after = cleared.response;
  if (!before || !after || !own) return {};
  const corners: Record<string, Reading | string> = {};
  for (const [{ id }, direction] of [[cornerLow, -1] as const, [cornerHigh, 1] as const]) {
    const reading = readings[id];
    if (reading) corners[id] = corrected(reading, direction, before, after, own);
  }
  return corners;
}

function corrected(
  reading: Reading,
  direction: -1 | 1,
  before: Curve,
  after: Curve,
  own: Curve,
): Reading | string {
  const heardHz = cornerOf(before, direction);
  if (heardHz === undefined) return beyond(reading, direction, own);
  const trueHz = cornerOf(after, direction);
  if (trueHz === undefined) {
    const end = direction < 0 ? after.x[0] : after.x[after.x.length - 1];
    const side = direction < 0 ? "below" : "above";
    return `lies ${side} ${Math.round(end)} Hz once the interface is taken out`;
  }
  const value = (reading.value * trueHz) / heardHz;
  const ownDoubt = (value * interpolateCurve(own, value).uncertainty) / leastSlope;
  const scaled = (reading.uncertainty * trueHz) / heardHz;
  return { ...reading, value, uncertainty: Math.hypot(scaled, ownDoubt), common: ownDoubt };
}

/** Beyond the curve the interface's small loss is taken to grow as that of one RC section. */
function beyond(reading: Reading, direction: -1 | 1, own: Curve): Reading {
  const end = direction < 0 ? 0 : own.x.length - 1;
  const ratio = (reading.value / own.x[end]) ** (2 * direction);
  const lossDb = Math.abs(own.y[end]) * Math.max(1, ratio);
  const reach = (reading.value * lossDb) / leastSlope;
  return { ...reading, uncertainty: Math.hypot(reading.uncertainty, reach), common: reach };
}

/** Where a response falls 3.01 dB below 1 kHz, walking away from there; undefined if nowhere. */
function cornerOf({ x, y }: Curve, direction: -1 | 1): number | undefined {
  let near = x.findIndex((hz) => hz >= 999);
  if (near < 0) return undefined;
  for (let next = near + direction; next >= 0 && next < x.length; next += direction) {
    if (y[next] <= -halfPowerDb) {
      const share = (-halfPowerDb - y[near]) / (y[next] - y[near]);
      return x[near] * (x[next] / x[near]) ** share;
    }
    near = next;
  }
  return undefined;
}

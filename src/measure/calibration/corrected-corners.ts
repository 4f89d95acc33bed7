import { dbPerNeper } from "../../dsp/decibels.js";
import { type Absences, type Absent, isAbsent } from "../absence.js";
import { cornerHigh, cornerLow, orderHigh, orderLow } from "../readings/corners.js";
import {
  findRollOff,
  nextIndependentHz,
  type ResponseEnd,
  type ResponseLevel,
  type ResponseSide,
  type RollOff,
} from "../roll-off.js";
import type { Curve, Curves, Reading, Readings } from "../types.js";

/**
 * Corners and orders of the path without those of the interface: the roll-off is fitted again to
 * the response with the interface divided out. Each point has the noise of both, so the
 * calibration's uncertainty enters the fit; the part shared by all paths is in `common`.
 *
 * @param readings of the path through the interface
 *
 * @param absent readings that could not be made
 *
 * @param heard its curves
 *
 * @param cleared the same without the interface
 * @param own the interface's curves
 * @returns changed readings, or why they can no longer be made
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({
 *   x,
 *   y: x.map(shape),
 *   uncertainty: x.map(() => 0.001),
 *   xUnit: "Hz",
 *   yUnit: "dB",
 * });
 *
 * const path = curve((hz) => -powerToDb(1 + (100 / hz) ** 2));
 * const own = curve(() => 0);
 * const readings = { cornerLow: { value: 100, unit: "Hz", uncertainty: 1 } };
 * const corners = correctCorners(readings, {}, { response: path }, { response: path }, { response: own });
 * corners.cornerLow.value.toFixed(0); // "100"
 */
export function correctCorners(
  readings: Readings,
  absent: Absences,
  heard: Curves,
  cleared: Curves,
  own: Curves,
): Readonly<Record<string, Reading | Absent>> {
  const after = joined(cleared, own);
  const before = joined(heard, own);
  if (!after || !before || !own.response) return {};
  const corners: Record<string, Reading | Absent> = {};
  for (const [end, corner, order] of [
    ["low", cornerLow, orderLow],
    ["high", cornerHigh, orderHigh],
  ] as const) {
    const wasMade = readings[corner.id] !== undefined || absent[corner.id] !== undefined;
    if (!wasMade) continue;
    const side = sideOf(after, end);
    const found: RollOff = findRollOff(side);
    const shared = sharedPart(before, after, side);
    corners[corner.id] = readingOf(found.corner, corner.unit, shared);
    corners[order.id] = readingOf(found.order, order.unit, shared);
  }
  return corners;
}

function readingOf(
  found: RollOff["corner"] | RollOff["order"],
  unit: string,
  shared: number,
): Reading | Absent {
  if (isAbsent(found)) return found;
  const { uncertainty } = found;
  const value = "hz" in found ? found.hz : found.value;
  return { value, unit, uncertainty, common: shared * uncertainty };
}

/** The response, extended below its lowest frequency if the interface's is known there too. */
function joined({ response, responseLow }: Curves, own: Curves): Curve | undefined {
  if (!response || !responseLow || !own.responseLow) return response;
  return {
    ...response,
    x: [...responseLow.x, ...response.x],
    y: [...responseLow.y, ...response.y],
    uncertainty: [...responseLow.uncertainty, ...response.uncertainty],
  };
}

function sideOf({ x, y, uncertainty }: Curve, end: ResponseEnd): ResponseSide {
  const at = (k: number): ResponseLevel => ({
    hz: x[k],
    db: y[k],
    stdDev: uncertainty[k] / 2,
  });
  const middle = x.findIndex((hz) => hz > 999);
  return {
    end,
    edgeHz: end === "low" ? x[0] : x[x.length - 1],
    // All points share the noise error at 1 kHz, which is about that of its neighbours.
    reference: at(middle).stdDev / dbPerNeper,
    *outwards() {
      const step = end === "low" ? -1 : 1;
      for (let k = middle + step; k >= 0 && k < x.length; k += step) yield at(k);
    },
    between(fromHz, toHz) {
      const levels: ResponseLevel[] = [];
      let next = 0;
      for (let k = 0; k < x.length; k++) {
        if (x[k] < Math.max(fromHz, next) * (1 - near) || x[k] > toHz) continue;
        levels.push(at(k));
        next = nextIndependentHz(x[k]);
      }
      return levels;
    },
  };
}

/** Relative distance at which a point of the curve is used for a wanted frequency. */
const near = 0.005;

/** Share of the uncertainty at an end that comes from the interface. */
function sharedPart(before: Curve, after: Curve, { end, edgeHz }: ResponseSide): number {
  const reach = 4;
  let own = 0;
  let all = 0;
  after.x.forEach((hz, k) => {
    if (end === "low" ? hz > reach * edgeHz : hz < edgeHz / reach) return;
    all += after.uncertainty[k] ** 2;
    own += Math.max(0, after.uncertainty[k] ** 2 - before.uncertainty[k] ** 2);
  });
  return all > 0 ? Math.sqrt(own / all) : 0;
}

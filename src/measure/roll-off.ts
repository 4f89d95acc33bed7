import { amplitudeToDb, dbPerNeper } from "../dsp/decibels.js";
import { fitRollOff, type RollOffFit, type RollOffPoint } from "../dsp/roll-off.js";
import { computeResponse, computeResponseMethodDb } from "./sweep.js";
import type { SweepAnalysis } from "./sweep-answer.js";
import type { AbsentReading } from "./types.js";

/** One end of a path's response. */
export type ResponseEnd = "low" | "high";

/** Where and how steeply a response rolls off; uncertainties expanded, 95 %. */
export interface RollOff {
  readonly corner: Corner | AbsentReading;
  readonly order: { readonly value: number; readonly uncertainty: number } | AbsentReading;
}

const halfPowerDb = 10 * Math.log10(2);
/** The sweep carries too little below and above this share of its edges. */
const edgeShare = { low: 1.6, high: 0.965 } as const;
/** Points per octave at which the response is searched for its corner, and fitted. */
const searchedPerOctave = 48;
const fittedPerOctave = 12;
/** Neighbouring points of a gate of one second share no noise from this distance on. */
const leastApartHz = 1.25;
/** How far beyond the corner the flat part is fitted along, as a ratio of frequencies. */
const flatRatio = 12;
/** The flat part reaches at least up or down to here when the corner lies beyond the sweep. */
const flatHz = { low: 250, high: 2000 } as const;
/** A corner is extrapolated this far and no further. */
const furthest = { low: 1, high: 3 } as const;
/** A corner less certain than this is not reported, as a share of it. */
const mostDoubt = 0.5;
/** With an order less sure than this one capacitor and a filter cannot be separated. */
const mostOrderDoubt = 0.5;
/** A fit that leaves more than this is of another shape than a roll-off, decibels. */
const mostRestDb = 0.1;
/** So is one whose corner lies this many uncertainties from where the response crosses. */
const mostApart = 1.5;
/** A corner is only extrapolated from a droop of this many decibels within the sweep … */
const leastDroopDb = { low: 0.05, high: 0.2 } as const;
/** … that is this many times the misfit beyond the noise: otherwise it is a ripple's tail. */
const leastDroopToRest = 20;
const leastRelative = 2e-4;
const leastOrder = 0.01;
/** Beyond this the 1 kHz that all is counted from is itself not known, relative. */
const mostReferenceDeviation = 0.05;

/**
 * The roll-off at one end of the response: the −3.01 dB point against 1 kHz and the steepness.
 *
 * Filters of first to third order are fitted to the response from its flat part to the sweep's
 * edge. Within the sweep the corner is where the fit has fallen by 3.01 dB; below 8 Hz, down to
 * 1 Hz, and above 20 kHz, up to three times the sweep's reach, it is extrapolated from the droop
 * as long as its uncertainty stays below half of it. A response of another shape (a bump, a shelf)
 * has the corner where it crosses −3.01 dB, and no order.
 */
export function computeRollOff(answer: SweepAnalysis, end: ResponseEnd): RollOff {
  const reference = computeResponse(answer, 1000);
  const { deviation = 0 } = reference;
  if (!(reference.magnitude > 0)) return nothing("nothing of the sweep came back");
  if (deviation > mostReferenceDeviation) return nothing("the sweep drowns in the noise");
  const edgeHz = edgeShare[end] * (end === "low" ? answer.sweep.fromHz : answer.sweep.toHz);
  const crossing = crossingOf(answer, end, reference.magnitude, edgeHz);
  const points = pointsOf(answer, end, reference.magnitude, edgeHz, crossing?.hz);
  const fit = fitRollOff(points, -halfPowerDb);
  const usualRest = Math.sqrt(points.reduce((sum, p) => sum + p.deviation ** 2, 0) / points.length);
  const side = end === "low" ? "below" : "above";
  const unseen = `lies ${side} ${Math.round(edgeHz)} Hz`;
  const fitted = fit && fittedCorner(fit, end, crossing ? deviation : 0);
  const isShaped = fit !== undefined && fit.restDb < Math.max(mostRestDb, 2 * usualRest);
  if (crossing && !(fitted && isShaped && agree(fitted, crossing))) {
    const words = `the ${end} end is not shaped like a roll-off`;
    return { corner: crossing, order: { absent: words } };
  }
  if (!fit || !fitted || !isShaped) return nothing(unseen, unreached);
  const { hz, uncertainty, share } = fitted;
  const missedDb = Math.sqrt(Math.max(0, fit.restDb ** 2 - usualRest ** 2));
  const droops = fit.fallDb > leastDroopDb[end] && fit.fallDb > leastDroopToRest * missedDb;
  const isNear = end === "low" ? hz >= furthest.low : hz <= furthest.high * edgeHz;
  if (!crossing && !(droops && isNear && share < mostDoubt)) return nothing(unseen, unreached);
  return { corner: { hz, uncertainty }, order: orderOf(fit.order) };
}

const unreached = "no roll-off in reach of the sweep";

interface Corner {
  readonly hz: number;
  readonly uncertainty: number;
}

/** @param reference relative standard deviation of the response at 1 kHz */
function fittedCorner(fit: RollOffFit, end: ResponseEnd, reference: number) {
  const hz = Math.exp((end === "low" ? -0.5 : 0.5) * fit.corner.value);
  const share = Math.expm1(fit.corner.deviation);
  const reference95 = (2 * dbPerNeper * reference * hz) / leastSlopeDb;
  const uncertainty = Math.hypot(hz * Math.max(leastRelative, share), reference95);
  return { hz, uncertainty, share };
}

function agree(a: Corner, b: Corner): boolean {
  return Math.abs(a.hz - b.hz) <= mostApart * Math.hypot(a.uncertainty, b.uncertainty);
}

/** Slope of a first-order roll-off at its corner, decibels per neper of frequency. */
const leastSlopeDb = 10 / Math.LN10;

function nothing(corner: string, order = corner): RollOff {
  return { corner: { absent: corner }, order: { absent: order } };
}

function orderOf({ value, deviation }: { value: number; deviation: number }): RollOff["order"] {
  const uncertainty = Math.hypot(leastOrder, 2 * deviation);
  if (uncertainty > mostOrderDoubt) {
    return { absent: "one capacitor and a filter would look alike in what the sweep shows" };
  }
  return { value, uncertainty };
}

/** Where the response crosses −3.01 dB, walking away from 1 kHz. */
function crossingOf(
  answer: SweepAnalysis,
  end: ResponseEnd,
  reference: number,
  edgeHz: number,
): Corner | undefined {
  const direction = end === "low" ? -1 : 1;
  let nearHz = 1000;
  let nearDb = 0;
  for (let n = 1; ; n++) {
    const hz = 1000 * 2 ** ((direction * n) / searchedPerOctave);
    if (direction < 0 ? hz < edgeHz : hz > edgeHz) return undefined;
    const point = computeResponse(answer, hz);
    const db = amplitudeToDb(point.magnitude / reference);
    if (db <= -halfPowerDb) {
      const share = (-halfPowerDb - nearDb) / (db - nearDb);
      const value = nearHz * (hz / nearHz) ** share;
      // decibels per neper of frequency here turn the level's doubt into the corner's
      const slope = Math.abs((db - nearDb) / Math.log(hz / nearHz));
      const levelDb = Math.hypot(
        computeResponseMethodDb(answer, hz),
        2 * dbPerNeper * (point.deviation ?? 0),
      );
      return { hz: value, uncertainty: value * Math.max(leastRelative, levelDb / slope) };
    }
    nearHz = hz;
    nearDb = db;
  }
}

/** The response from its flat part to the edge, against 1 kHz. */
function pointsOf(
  answer: SweepAnalysis,
  end: ResponseEnd,
  reference: number,
  edgeHz: number,
  cornerHz: number | undefined,
): readonly RollOffPoint[] {
  const flat =
    end === "low"
      ? Math.min(1000, Math.max(flatHz.low, flatRatio * (cornerHz ?? 0)))
      : Math.max(1000, Math.min(flatHz.high, (cornerHz ?? edgeHz) / flatRatio));
  const [fromHz, toHz] = end === "low" ? [edgeHz, flat] : [flat, edgeHz];
  const points: RollOffPoint[] = [];
  for (let hz = fromHz; hz <= toHz; ) {
    const { magnitude, deviation = 0 } = computeResponse(answer, hz);
    const db = amplitudeToDb(magnitude / reference);
    if (Number.isFinite(db)) {
      points.push({
        u: end === "low" ? hz ** -2 : hz ** 2,
        db,
        deviation: Math.hypot(computeResponseMethodDb(answer, hz) / 2, dbPerNeper * deviation),
      });
    }
    hz = Math.max(hz + leastApartHz, hz * 2 ** (1 / fittedPerOctave));
  }
  return points;
}

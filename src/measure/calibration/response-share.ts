import { dbToPower, powerToDb } from "../../dsp/decibels.js";
import { boundDb, isBound } from "../is-bound.js";
import type { OwnBand, OwnShare } from "../reading-kind.js";
import type { Curve, Curves, Reading, Readings } from "../types.js";
import { interpolateCurve } from "./interpolate-curve.js";
import { ownWeightings } from "./own-weighting.js";

/** The interface's response is relative to this frequency. */
const toneHz = 1000;

/** A part of a reading at a frequency, as a power. */
interface Part {
  readonly hz: number;
  readonly power: number;
}

/**
 * Decibels by which the interface's response raises a reading of noise or lines, if all of it is
 * the input's: the mean over the reading's spectrum, from the path's own curves.
 *
 * @param heard the reading
 *
 * @param share how the interface's share adds in it
 * @param readings of the path as heard
 * @param curves of the path as heard: `noise` and `humLines`
 * @param response of the interface against 1 kHz; undefined if none was stored
 *
 * @returns 0 if nothing is known, or it does not apply
 * @example
 * const hiss = { value: -97, unit: "dBFS", uncertainty: 0.1 };
 * const band = { fromHz: 20, toHz: 20_000, weighting: "flat" };
 * const curve = (x, y) => ({ x, y, uncertainty: x.map(() => 0.1), xUnit: "Hz", yUnit: "dB" });
 * // Half of the noise where the interface loses half, half where it loses nothing.
 * const noise = curve([1000, 10_000], [-100, -103.01]);
 * const response = curve([1000, 10_000], [0, -3.01]);
 * computeResponseRise(hiss, { adds: "power", band }, {}, { noise }, response).toFixed(2); // "-1.25"
 */
export function computeResponseRise(
  heard: Reading,
  share: OwnShare,
  readings: Readings,
  curves: Curves,
  response: Curve | undefined,
): number {
  if (response === undefined) return 0;
  const parts = listParts(heard, share, readings, curves);
  const all = parts.reduce((sum, { power }) => sum + power, 0);
  const own = parts.reduce(
    (sum, { hz, power }) => sum + power / dbToPower(interpolateCurve(response, hz).value),
    0,
  );
  return all > 0 ? powerToDb(all / own) : 0;
}

function listParts(
  heard: Reading,
  share: OwnShare,
  readings: Readings,
  curves: Curves,
): readonly Part[] {
  if (share.adds === "difference") return [];
  if (share.adds === "phase") {
    const at = share.at === undefined ? undefined : readings[share.at];
    return at ? [{ hz: at.value, power: 1 }] : lineParts(share, curves);
  }
  if (share.band === undefined || share.band === "third-octaves") return [];
  const parts = [...noiseParts(share.band, curves.noise), ...lineParts(share, curves)];
  const against = share.against === undefined ? undefined : readings[share.against];
  if (!against || parts.length === 0) return parts;
  // A reading relative to a tone includes its harmonics: few, low ones.
  const whole = dbToPower(heard.value + against.value);
  const harmonics = whole - parts.reduce((sum, { power }) => sum + power, 0);
  return harmonics > 0 ? [...parts, { hz: toneHz, power: harmonics }] : parts;
}

function noiseParts({ fromHz, toHz, weighting }: OwnBand, noise: Curve | undefined): Part[] {
  if (!noise) return [];
  return noise.x.flatMap((hz, k) => {
    if (hz < fromHz || hz > toHz) return [];
    return [{ hz, power: dbToPower(noise.y[k]) * ownWeightings[weighting](hz) }];
  });
}

function lineParts(share: Exclude<OwnShare, { adds: "difference" }>, curves: Curves): Part[] {
  const lines = share.lines === undefined ? undefined : curves[share.lines];
  if (!lines) return [];
  const orders = share.adds === "phase" ? share.orders : undefined;
  return lines.x.flatMap((hz, k) => {
    const isCounted = orders === undefined || ((k + 1) % 2 === 1) === (orders === "odd");
    return isCounted && lines.uncertainty[k] < boundDb
      ? [{ hz, power: dbToPower(lines.y[k]) }]
      : [];
  });
}

/**
 * A reading of which the interface's input may have taken or added some decibels, anything from
 * nothing to all that its loopback shows: what of that was the output's is not in what the path
 * adds on its own. A limit, which widens the interval by half of it; all paths have it alike.
 *
 * @example
 * const { value, uncertainty } = withResponse({ value: -100, unit: "dBFS", uncertainty: 0.1 }, -0.2);
 * [value.toFixed(2), uncertainty.toFixed(2)]; // ["-99.90", "0.20"]
 */
export function withResponse(reading: Reading, riseDb: number): Reading {
  if (riseDb === 0) return reading;
  if (isBound(reading)) return { ...reading, value: reading.value + Math.max(0, -riseDb) };
  const half = Math.abs(riseDb) / 2;
  return {
    ...reading,
    value: reading.value - riseDb / 2,
    uncertainty: reading.uncertainty + half,
    common: (reading.common ?? 0) + half,
  };
}

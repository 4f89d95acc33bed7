import type { Conditions } from "../../history/compare/conditions.js";
import { getHarmDirection } from "../../history/compare/thresholds.js";
import { findReadingKind, getReadingId, readingKinds } from "../../measure/reading-kinds.js";
import { groupBy } from "../../text/group-by.js";
import {
  type CommonMove,
  computeCommonMove,
  isLevel,
  type PathBothTimes,
  type Probe,
  readProbe,
} from "./probe.js";
import type { SharedChange } from "./types.js";

/**
 * With how large a change for the worse, common to what was re-tested, a desk may still be closed.
 * Readings that are not listed may change by as much as would want service on a single path: one and
 * a half of the differences that nobody cares for. Common practice, no source:
 *
 * - hum: 10 dB; it hangs on how cables lie (of healthy virtual desks the median of three paths moved by up
 *   to 7 dB), and a lead or a screen that was forgotten gives far more
 * - gain: 1.5 dB without a calibration, where the interface may have been set a little otherwise,
 *   1 dB with one
 * - response: 1 dB
 * - polarity: none
 */
const bounds: Readonly<Record<string, number>> = { hum: 10, gain: 1.5, response: 1, polarity: 0 };
const calibratedGainBoundDb = 1;
const serviceFloors = 1.5;
/** Of distortion against frequency: as for the readings of distortion. */
const distortionCurveBoundDb = 6;
const noiseCurveBoundDb = 6;

/** Frequencies at which curves are held against the earlier round, Hz: octaves and the band's ends. */
const frequenciesHz = [20, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 12_500, 16_000, 20_000];

/** The paths of a re-test in both rounds, by whether their strip was worked on. */
export interface RetestedPaths {
  readonly untouched: readonly PathBothTimes[];
  readonly all: readonly PathBothTimes[];
}

/** At least so many untouched paths tell for themselves what a family did. */
export const minUntouched = 2;

/**
 * What re-tested paths of a family did in common, against bounds: an earth lead that was forgotten
 * raises the hum of all of them, and none then stands out. Untouched paths and all of them are each
 * looked at, as a change may be common to those that were worked on.
 *
 * @returns one entry for a reading and the families that did the same, the furthest beyond its bound
 *   first; only changes that are more than their uncertainty
 */
export function findSharedChanges(
  paths: RetestedPaths,
  conditions: Conditions,
): readonly SharedChange[] {
  const families = groupBy(paths.all, ({ now }) => now.family);
  const untouched = groupBy(paths.untouched, ({ now }) => now.family);
  const found = [...families].flatMap(([family, all]) => {
    const apart = untouched.get(family) ?? [];
    const groups = apart.length >= minUntouched && apart.length < all.length ? [all, apart] : [all];
    return listProbes(all).flatMap((probes) => {
      const changes = groups.flatMap((group) =>
        probes.flatMap((probe) => judgeProbe(group, family, probe, conditions) ?? []),
      );
      return changes.length === 0 ? [] : [changes.reduce(worse)];
    });
  });
  return mergeFamilies(found).sort((a, b) => excess(b) - excess(a));
}

/** Each inner list is looked at together, and its worst counts: a curve at its frequencies. */
function listProbes(pairs: readonly PathBothTimes[]): readonly (readonly Probe[])[] {
  const curve = (reading: string) => frequenciesHz.map((atHz) => ({ reading, atHz }));
  return [
    ...readingKinds
      .filter(({ harm }) => harm !== "none")
      .filter(({ id }) => pairs.some(({ now }) => readProbe(now, { reading: id }) !== undefined))
      .map(({ id }) => [{ reading: id }]),
    curve("response"),
    curve("noiseCurve"),
    curve("distortionCurve"),
  ];
}

function judgeProbe(
  pairs: readonly PathBothTimes[],
  family: string,
  probe: Probe,
  conditions: Conditions,
): SharedChange | undefined {
  const move = computeCommonMove(pairs, probe, conditions);
  if (move === undefined) return undefined;
  const level = againstLevel(pairs, probe, conditions);
  const change = move.change - (level?.change ?? 0);
  const sharedDoubt = conditions.calibration === "other" ? move.common : 0;
  const uncertainty = Math.hypot(2 * move.error, 2 * (level?.error ?? 0), sharedDoubt);
  if (Math.abs(change) <= uncertainty) return undefined;
  const bound = getBound(probe, conditions);
  const harm = probe.atHz === undefined ? getHarmDirection(probe.reading) : curveHarm(probe);
  const forWorse = harm === "both" ? Math.abs(change) : harm === "down" ? -change : change;
  return {
    reading: probe.reading,
    families: [family],
    paths: move.count,
    change,
    uncertainty,
    unit: move.unit,
    bound,
    ...(probe.atHz === undefined ? {} : { atHz: probe.atHz }),
    scale: level === undefined ? "absolute" : "against-level",
    standing: forWorse <= bound ? "within" : forWorse - uncertainty > bound ? "beyond" : "unsure",
  };
}

/** Without a calibration a level moves with the interface's setting as the tone's does. */
function againstLevel(
  pairs: readonly PathBothTimes[],
  probe: Probe,
  conditions: Conditions,
): CommonMove | undefined {
  if (conditions.calibration !== "none" || probe.reading === getReadingId("gain")) return undefined;
  const isOne = pairs.some(({ now }) => isLevel(readProbe(now, probe)?.unit ?? ""));
  return isOne
    ? computeCommonMove(pairs, { reading: getReadingId("level") }, conditions)
    : undefined;
}

function curveHarm({ reading }: Probe): "both" | "up" {
  return reading === "response" ? "both" : "up";
}

function getBound({ reading }: Probe, { calibration }: Conditions): number {
  if (reading === getReadingId("gain") && calibration !== "none") return calibratedGainBoundDb;
  if (reading === "noiseCurve") return noiseCurveBoundDb;
  if (reading === "distortionCurve") return distortionCurveBoundDb;
  return bounds[reading] ?? serviceFloors * (findReadingKind(reading)?.least ?? 0);
}

const gravity: readonly SharedChange["standing"][] = ["within", "unsure", "beyond"];

function excess({ standing, change, bound }: SharedChange): number {
  return 1e6 * gravity.indexOf(standing) + Math.abs(change) / Math.max(bound, 1e-3);
}

function worse(a: SharedChange, b: SharedChange): SharedChange {
  return excess(b) > excess(a) ? b : a;
}

/** Families that stand alike against the bound in the same reading are spoken of together. */
function mergeFamilies(changes: readonly SharedChange[]): SharedChange[] {
  const key = ({ reading, standing, change }: SharedChange) =>
    `${reading} ${standing} ${Math.sign(change)}`;
  return [...groupBy(changes, key).values()].map((group) => ({
    ...group.reduce(worse),
    families: group.flatMap(({ families }) => families),
    paths: group.reduce((sum, { paths }) => sum + paths, 0),
  }));
}

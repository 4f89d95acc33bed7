import type { Conditions } from "../../history/compare/conditions.js";
import { getHarmDirection } from "../../history/compare/thresholds.js";
import { getCurveId, listSeriousFindings } from "../../history/standing.js";
import type { RoundPath } from "../../history/types.js";
import { curveKinds, findCurveKind } from "../../measure/curve-kinds.js";
import type { HarmDirection } from "../../measure/reading-kind.js";
import { findReadingKind, getReadingId, readingKinds } from "../../measure/reading-kinds.js";
import { serviceFloors } from "../../rank/severity.js";
import { floorHum, humLines } from "../../rank/shared/rows.js";
import { groupBy } from "../../text/group-by.js";
import {
  type CommonMove,
  computeCommonMove,
  isLevel,
  minInCommon,
  type PathBothTimes,
  type Probe,
  readProbe,
} from "./probe.js";
import type { SharedChange } from "./types.js";

/**
 * Frequencies at which curves are compared with the earlier round, Hz: octaves and the band's ends.
 */
const frequenciesHz = [20, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 12_500, 16_000, 20_000];

/** The paths of a re-test in both rounds, by whether their strip was worked on. */
export interface RetestedPaths {
  readonly untouched: readonly PathBothTimes[];
  readonly all: readonly PathBothTimes[];
}

/** Untouched paths needed to show the common change of a family. */
export const minUntouched = 2;

/** Whether a path was good in the earlier round: repaired ones changed because of the repair. */
export function wasInOrder({ was }: PathBothTimes): boolean {
  return listSeriousFindings(was).length === 0;
}

/**
 * Compares the common changes of re-tested families with bounds: a forgotten earth lead, for
 * example, raises the hum of all paths, and none differs from the others. Untouched paths and all
 * good ones are both examined, since a change may be common to strips worked on.
 *
 * @returns one entry per reading and families with the same change, the furthest beyond its bound
 * first; only changes larger than their uncertainty
 */
export function findSharedChanges(
  paths: RetestedPaths,
  conditions: Conditions,
): readonly SharedChange[] {
  const heard = (pairs: readonly PathBothTimes[]) => pairs.map(withDrownedHum);
  const families = groupBy(heard(paths.all), ({ now }) => now.family);
  const untouched = groupBy(heard(paths.untouched), ({ now }) => now.family);
  const found = [...families].flatMap(([family, all]) => {
    const apart = untouched.get(family) ?? [];
    const sound = all.filter(wasInOrder);
    const groups = apart.length < sound.length ? [sound, apart] : [sound];
    return listProbes().flatMap((probes) => {
      const changes = groups.flatMap((group) =>
        probes.flatMap((probe) => judgeProbe(group, family, probe, conditions) ?? []),
      );
      return changes.length === 0 ? [] : [changes.reduce(worse)];
    });
  });
  return mergeFamilies(found).sort((a, b) => excess(b) - excess(a));
}

/**
 * Limits the mains lines in both rounds to the level where hiss of the earlier round hides them.
 */
function withDrownedHum({ was, now }: PathBothTimes): PathBothTimes {
  const hiss = was.readings[getReadingId("hiss")]?.value;
  if (hiss === undefined) return { was, now };
  const drown = (path: RoundPath): RoundPath => {
    const readings = { ...path.readings };
    for (const [id, lines] of humLines) {
      const reading = readings[id];
      if (reading === undefined) continue;
      readings[id] = { ...reading, value: floorHum(reading.value, hiss, lines) };
    }
    return { ...path, readings };
  };
  return { was: drown(was), now: drown(now) };
}

/** Lists of probes of which the worst counts, e.g. a curve at its frequencies. */
function listProbes(): readonly (readonly Probe[])[] {
  const curve = (reading: string) => frequenciesHz.map((atHz) => ({ reading, atHz }));
  return [
    ...readingKinds.filter(({ harm }) => harm !== "none").map(({ id }) => [{ reading: id }]),
    ...curveKinds
      .filter(({ closing }) => closing !== undefined)
      .map(({ id, rise }) => curve(rise?.finding ?? id)),
  ];
}

function judgeProbe(
  pairs: readonly PathBothTimes[],
  family: string,
  probe: Probe,
  conditions: Conditions,
): SharedChange | undefined {
  const move = computeCommonMove(pairs, probe, conditions);
  if (move === undefined || move.count < minInCommon) return undefined;
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

/**
 * Without a calibration, levels are taken relative to the tone, since the interface's setting
 * changes both.
 */
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

function curveHarm({ reading }: Probe): HarmDirection {
  return findCurveKind(getCurveId(reading))?.change?.harm ?? "none";
}

/**
 * Largest common change for the worse with which a desk may be closed. By default, the deviation
 * that would need service on a single path (common practice, no source).
 */
function getBound({ reading }: Probe, { calibration }: Conditions): number {
  const kind = findReadingKind(reading);
  const closing = (kind ?? findCurveKind(getCurveId(reading)))?.closing;
  if (closing === undefined) return serviceFloors * (kind?.least ?? 0);
  const { most, mostCalibrated = most } = closing;
  return calibration === "none" ? most : mostCalibrated;
}

const gravity: readonly SharedChange["standing"][] = ["within", "unsure", "beyond"];

function excess({ standing, change, bound }: SharedChange): number {
  return 1e6 * gravity.indexOf(standing) + Math.abs(change) / Math.max(bound, 1e-3);
}

function worse(a: SharedChange, b: SharedChange): SharedChange {
  return excess(b) > excess(a) ? b : a;
}

/** Merges families with the same standing in the same reading. */
function mergeFamilies(changes: readonly SharedChange[]): SharedChange[] {
  const key = ({ reading, standing, change }: SharedChange) =>
    `${reading} ${standing} ${Math.sign(change)}`;
  return [...groupBy(changes, key).values()].map((group) => ({
    ...group.reduce(worse),
    families: group.flatMap(({ families }) => families),
    paths: group.reduce((sum, { paths }) => sum + paths, 0),
  }));
}

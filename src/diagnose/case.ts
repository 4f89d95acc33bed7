import type { Measurement } from "../measure/types.js";
import type { RankedInput, Usual } from "../rank/families.js";
import type { Finding } from "../rank/types.js";

/** A path with all that its causes are judged by. */
export interface PathCase {
  readonly path: string;
  readonly findings: readonly Finding[];
  readonly measurement: Measurement | undefined;
  readonly usual: Usual | undefined;
  readonly unheard: string | undefined;
  /** Response against the family's median curve, decibels; undefined without either. */
  readonly responseDifference: ResponseDifference | undefined;
}

export interface ResponseDifference {
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** Brings a ranked path together with what is usual in its family. */
export function pathCase(
  input: RankedInput,
  findings: readonly Finding[],
  usual: Usual | undefined,
): PathCase {
  const { path, measurement, unheard } = input;
  const curve = measurement?.curves.response;
  const crowd = usual?.response;
  const responseDifference =
    curve && crowd ? { x: curve.x, y: curve.y.map((db, i) => db - (crowd.y[i] ?? db)) } : undefined;
  return { path, findings, measurement, usual, unheard, responseDifference };
}

/** How far a reading lies from its siblings' median; undefined where either is missing. */
export function difference(path: PathCase, id: string): number | undefined {
  const reading = path.measurement?.readings[id];
  const usual = path.usual?.readings[id];
  return reading && usual ? reading.value - usual.median : undefined;
}

/** The worst finding on a reading, other than a mere remark. */
export function findingOn(
  path: PathCase,
  ids: readonly string[],
  side: "up" | "down" | "either",
): Finding | undefined {
  return path.findings.find(
    (f) =>
      ids.includes(f.reading) &&
      f.severity !== "remark" &&
      (side === "either" || f.deviation > 0 === (side === "up")),
  );
}

/** Share of the noise power that is mains hum, 0 to 1; undefined where either was not read. */
export function humShare(path: PathCase): number | undefined {
  const readings = path.measurement?.readings;
  const hum = readings?.hum;
  const noise = readings?.noise;
  if (!hum || !noise || hum.limitedBy === "noise") return undefined;
  return Math.min(1, 10 ** ((hum.value - noise.value) / 10));
}

/** Largest response difference between two frequencies, with its sign; 0 without a curve. */
export function largestDifference(path: PathCase, fromHz: number, toHz: number): number {
  let most = 0;
  path.responseDifference?.x.forEach((hz, i) => {
    const db = path.responseDifference?.y[i] ?? 0;
    if (hz >= fromHz && hz <= toHz && Math.abs(db) > Math.abs(most)) most = db;
  });
  return most;
}

import type { Cause } from "../diagnose/types.js";
import type { Curve, Curves, LevelStep, Reading, Readings, ReturnEvent } from "../measure/types.js";
import type { StoredAbsences } from "./absences.js";
import type {
  MeasuredReferenceTurn,
  Round,
  RoundControl,
  RoundFinding,
  RoundPath,
  RoundReference,
  RoundShared,
  RoundTake,
} from "./types.js";

/**
 * How many figures of each number are kept: enough that rounding stays far below what the
 * uncertainties claim, few enough that a change in the file is a change of the desk.
 */
const figures = { reading: 7, curve: 5, uncertainty: 3, score: 4 } as const;

/** Rounds to a number of significant decimal figures. */
export function roundSignificant(value: number, count: number): number {
  return Number(value.toPrecision(count));
}

/** A round with every number as it is kept on disk. */
export function roundForStorage(round: Omit<Round, "id">): Omit<Round, "id"> {
  const { doubts, paths } = round;
  return {
    ...round,
    ...(round.shared === undefined ? {} : { shared: round.shared.map(roundedShared) }),
    ...(round.reference === undefined ? {} : { reference: roundedReference(round.reference) }),
    ...(doubts === undefined ? {} : { doubts: doubts.map(roundFacts) }),
    paths: paths.map(roundedPath),
  };
}

/** Facts with every number, however deep, as it is kept. */
function roundFacts<T>(facts: T): T {
  if (typeof facts === "number") {
    return (Number.isInteger(facts) ? facts : roundSignificant(facts, figures.reading)) as T;
  }
  if (Array.isArray(facts)) return facts.map(roundFacts) as T;
  if (typeof facts !== "object" || facts === null) return facts;
  return Object.fromEntries(Object.entries(facts).map(([key, own]) => [key, roundFacts(own)])) as T;
}

/** Keys in the order of the schema. */
function roundedAbsences({ absent, absences }: StoredAbsences): StoredAbsences {
  return absences === undefined ? { absent } : { absent, absences: roundFacts(absences) };
}

function roundedReference(reference: RoundReference): RoundReference {
  const { turns, drift } = reference;
  return {
    ...reference,
    turns: turns.map(
      (one): MeasuredReferenceTurn => ({
        ...one,
        take: roundedTake(one.take),
        readings: roundReadings(one.readings),
        ...roundedAbsences(one),
        curves: roundCurves(one.curves),
      }),
    ),
    ...(drift === undefined ? {} : { drift: roundFacts(drift) }),
  };
}

function roundedShared(shared: RoundShared): RoundShared {
  const { findings, probability } = shared;
  return {
    ...shared,
    findings: findings.map((one) => ({
      ...one,
      value: roundSignificant(one.value, figures.reading),
      expected: roundSignificant(one.expected, figures.reading),
      deviation: roundSignificant(one.deviation, figures.curve),
      ...(one.toneHz === undefined
        ? {}
        : { toneHz: roundSignificant(one.toneHz, figures.reading) }),
    })),
    ...(probability === undefined
      ? {}
      : { probability: roundSignificant(probability, figures.score) }),
  };
}

function roundedPath(path: RoundPath): RoundPath {
  return {
    ...path,
    ...(path.take === undefined ? {} : { take: roundedTake(path.take) }),
    ...(path.otherTakes === undefined
      ? {}
      : {
          otherTakes: path.otherTakes.map((take) => ({
            ...roundedTake(take),
            readings: roundReadings(take.readings),
          })),
        }),
    readings: roundReadings(path.readings),
    ...roundedAbsences(path),
    curves: roundCurves(path.curves),
    ...(path.marks === undefined ? {} : { marks: path.marks.map(roundedMark) }),
    ...(path.steps === undefined ? {} : { steps: path.steps.map(roundedStep) }),
    ...(path.controls === undefined ? {} : { controls: path.controls.map(roundedControl) }),
    ...(path.partner === undefined
      ? {}
      : {
          partner: {
            ...path.partner,
            readings: roundReadings(path.partner.readings),
            ...roundedAbsences(path.partner),
            curves: roundCurves(path.partner.curves),
          },
        }),
    oddness: roundSignificant(path.oddness, figures.score),
    findings: path.findings.map(roundedFinding),
    causes: path.causes.map(roundedCause),
  };
}

/** Keys in the order of the schema, so that a round reads back exactly as it was made. */
function roundedCause(one: Cause): Cause {
  const { cause, name, kind, probability, evidence, against, confirmBy, unlike, where, ...rest } =
    one;
  return {
    cause,
    name,
    kind,
    ...(probability === undefined
      ? {}
      : { probability: roundSignificant(probability, figures.score) }),
    evidence,
    ...(against === undefined ? {} : { against }),
    confirmBy,
    ...(unlike === undefined ? {} : { unlike }),
    ...(where === undefined ? {} : { where }),
    ...rest,
  };
}

/** Thousandths of a sample and of a part per million. */
function roundedTake<T extends RoundTake>(take: T): T {
  return {
    ...take,
    startSample: Number(take.startSample.toFixed(3)),
    driftPpm: Number(take.driftPpm.toFixed(3)),
  };
}

/** Ten-thousandths of a decibel, hundredths for distortion. */
function roundedStep(step: LevelStep): LevelStep {
  const { gainDb, uncertainty, distortionDb } = step;
  return {
    ...step,
    gainDb: Number(gainDb.toFixed(4)),
    uncertainty: roundSignificant(uncertainty, figures.uncertainty),
    ...(distortionDb === undefined ? {} : { distortionDb: Number(distortionDb.toFixed(2)) }),
  };
}

/** Milliseconds and tenths of a decibel. */
function roundedMark(mark: ReturnEvent): ReturnEvent {
  const atS = Number(mark.atS.toFixed(3));
  if (mark.kind === "click") return { ...mark, atS, overDb: Number(mark.overDb.toFixed(1)) };
  const untilS = Number(mark.untilS.toFixed(3));
  if (mark.kind !== "level-break") return { ...mark, atS, untilS };
  return { ...mark, atS, untilS, levelDb: Number(mark.levelDb.toFixed(2)) };
}

function roundedControl(report: RoundControl): RoundControl {
  return {
    ...report,
    rangeDb: Number(report.rangeDb.toFixed(1)),
    expected: roundSignificant(report.expected, figures.score),
    events: report.events.map((event) => ({
      ...event,
      atS: Number(event.atS.toFixed(3)),
      lengthS: Number(event.lengthS.toFixed(3)),
      levelDb: Number(event.levelDb.toFixed(1)),
    })),
  };
}

/** Readings with as many figures as a round keeps. */
export function roundReadings(readings: Readings): Readings {
  return Object.fromEntries(Object.entries(readings).map(([id, one]) => [id, roundReading(one)]));
}

/** A reading with as many figures as a round keeps. */
export function roundReading(reading: Reading): Reading {
  const { value, uncertainty, common } = reading;
  return {
    ...reading,
    value: roundSignificant(value, figures.reading),
    uncertainty: roundSignificant(uncertainty, figures.uncertainty),
    ...(common === undefined ? {} : { common: roundSignificant(common, figures.uncertainty) }),
  };
}

/** Curves with as many figures as a round keeps. */
export function roundCurves(curves: Curves): Curves {
  return Object.fromEntries(Object.entries(curves).map(([id, curve]) => [id, roundedCurve(curve)]));
}

function roundedCurve(curve: Curve): Curve {
  return {
    ...curve,
    x: curve.x.map((value) => roundSignificant(value, figures.curve)),
    y: curve.y.map((value) => roundSignificant(value, figures.curve)),
    uncertainty: curve.uncertainty.map((value) => roundSignificant(value, figures.uncertainty)),
    ...(curve.floor === undefined
      ? {}
      : { floor: curve.floor.map((value) => roundSignificant(value, figures.curve)) }),
  };
}

function roundedFinding(finding: RoundFinding): RoundFinding {
  return {
    ...finding,
    value: roundSignificant(finding.value, figures.reading),
    expected: roundSignificant(finding.expected, figures.reading),
    deviation: roundSignificant(finding.deviation, figures.curve),
    score: roundSignificant(finding.score, figures.score),
    ...(finding.atHz === undefined ? {} : { atHz: roundSignificant(finding.atHz, figures.curve) }),
  };
}

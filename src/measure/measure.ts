import { type Absence, type Absent, isAbsent } from "./absence.js";
import { measureControls } from "./controls/controls.js";
import { computeCrosstalkCurve, findWorstCrosstalk, type UndrivenChannel } from "./crosstalk.js";
import { markBounds } from "./curve-bounds.js";
import { type CurveId, curveKinds } from "./curve-kinds.js";
import { harmonicCurveKinds } from "./harmonic-curves.js";
import { listReturnEvents } from "./integrity/return-events.js";
import { computeLevelSteps } from "./level-steps.js";
import { computeNoiseCurve } from "./noise-bands.js";
import { isReading } from "./reading-kind.js";
import { readingKinds } from "./reading-kinds.js";
import { computeHumLines } from "./readings/hum.js";
import { computeLowResponseCurve, computeResponseCurve } from "./response.js";
import type { ReturnAudio } from "./return-audio.js";
import { createReturnContext, type ReturnContext } from "./return-context.js";
import type { Curve, Measurement, Reading } from "./types.js";

/**
 * Measures one return: every reading of the registry that its profile provides, and the curves. A
 * reading that cannot be made is absent with its reason. On a stereo bus both sides are measured.
 *
 * @param audio the return
 *
 * @param undriven channels recorded with it but not driven, read one at a time
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 * const [found] = findReturns(reader).returns;
 * const audio = { ...sliceReturn(reader, found), table: buildReturnTable(found), mainsHz: 50 };
 * const { readings } = measureReturn(audio);
 * readings.polarity.value; // 1
 * reader.close();
 */
export function measureReturn(
  audio: ReturnAudio,
  undriven: Iterable<UndrivenChannel> = [],
): Measurement {
  if (audio.table.profile === "controls") return measurePass(audio);
  const context = createReturnContext(audio);
  const measured = measureContext(context);
  const crosstalk = crosstalkCurves(context, undriven);
  const other = context.partner();
  const marks = listReturnEvents(context);
  const steps = computeLevelSteps(context);
  return {
    readings: measured.readings,
    absent: { ...measured.absent, ...crosstalk.absent },
    curves: { ...measured.curves, ...markBounds(crosstalk.curves) },
    ...(marks.length > 0 ? { marks } : {}),
    ...(steps.length > 1 ? { steps } : {}),
    ...(other && audio.partner
      ? { partner: { side: audio.partner.side, ...measureContext(other) } }
      : {}),
  };
}

/** A controls pass has no readings to compare, because its gain is moved. */
function measurePass(audio: ReturnAudio): Measurement {
  const controls = measureControls(audio);
  const none = { readings: {}, curves: {} };
  if (isAbsent(controls)) return { ...none, absent: { controls: controls.absent } };
  return { ...none, absent: {}, controls };
}

function measureContext(context: ReturnContext): Measurement {
  const names = new Set(context.audio.table.segments.map((s) => s.name));
  const readings: Record<string, Reading> = {};
  const absent: Record<string, Absence> = {};
  for (const kind of readingKinds) {
    if (!names.has(kind.segment)) continue;
    if (kind.applies && !kind.applies(context)) continue;
    const reading = kind.read(context);
    if (!isReading(reading)) absent[kind.id] = reading.absent;
    else if (Number.isFinite(reading.value) && Number.isFinite(reading.uncertainty)) {
      readings[kind.id] = reading;
    } else absent[kind.id] = { code: "not-finite" };
  }
  const curves: Record<string, Curve> = {};
  for (const { id, segment } of curveKinds) {
    const make = curveMakers.get(id);
    if (!make || !names.has(segment)) continue;
    const curve = make(context);
    if (!isAbsent(curve)) curves[id] = curve;
    else if (readings[id] === undefined) absent[id] ??= curve.absent;
  }
  return { readings, absent, curves: markBounds(curves) };
}

type CurveMaker = (context: ReturnContext) => Curve | Absent;

/** Makers of each curve of a driven path; they return the curve, or why there is none. */
const curveMakers: ReadonlyMap<CurveId, CurveMaker> = new Map<CurveId, CurveMaker>([
  ["response", computeResponseCurve],
  ["responseLow", computeLowResponseCurve],
  ...harmonicCurveKinds.map(({ id, make }) => [id, make] as const),
  ["noise", computeNoiseCurve],
  ["humLines", computeHumLines],
]);

/** `crosstalk`: the worst of all undriven channels; `crosstalk-<n>`: each, if there are several. */
function crosstalkCurves(context: ReturnContext, undriven: Iterable<UndrivenChannel>) {
  const curves: Record<string, Curve> = {};
  const absent: Record<string, Absence> = {};
  for (const channel of undriven) {
    const curve = computeCrosstalkCurve(context, channel);
    if (isAbsent(curve)) absent.crosstalk = curve.absent;
    else curves[`crosstalk-${channel.channel + 1}`] = curve;
  }
  const each = Object.values(curves);
  if (each.length === 0) return { curves: {}, absent };
  const crosstalk = findWorstCrosstalk(each);
  return { curves: each.length === 1 ? { crosstalk } : { crosstalk, ...curves }, absent: {} };
}

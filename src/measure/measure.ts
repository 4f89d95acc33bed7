import { returnContext } from "./context.js";
import { isReading } from "./kind.js";
import { readingKinds } from "./registry.js";
import { responseCurve } from "./response.js";
import type { ReturnAudio } from "./return-audio.js";
import type { Curve, Measurement, Reading } from "./types.js";

/**
 * Measures one return: every reading of the registry that its profile provides, and the curves.
 * A reading that cannot be made is absent with its reason.
 */
export function measureReturn(audio: ReturnAudio): Measurement {
  const context = returnContext(audio);
  const names = new Set(audio.table.segments.map((s) => s.name));
  const readings: Record<string, Reading> = {};
  const absent: Record<string, string> = {};
  for (const kind of readingKinds) {
    if (!names.has(kind.segment)) continue;
    if (kind.applies && !kind.applies(context)) continue;
    const reading = kind.read(context);
    if (!isReading(reading)) absent[kind.id] = reading.absent;
    else if (Number.isFinite(reading.value) && Number.isFinite(reading.uncertainty)) {
      readings[kind.id] = reading;
    } else absent[kind.id] = "no finite figure came out";
  }
  const curves: Record<string, Curve> = {};
  if (names.has("sweep")) {
    const response = responseCurve(context);
    if (typeof response === "string") absent.response = response;
    else curves.response = response;
  }
  return { readings, absent, curves };
}

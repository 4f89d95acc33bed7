import type { PathValues } from "./types.js";

/**
 * A path whose faulty parts were replaced: every value that the fault changes is that of the new
 * part, all others stay as they were.
 *
 * @param sound the path without the fault
 * @param faulty the same path with it
 * @param fresh the path as drawn with new parts throughout
 */
export function replaceParts(sound: PathValues, faulty: PathValues, fresh: PathValues): PathValues {
  return replaced(sound, faulty, fresh) as PathValues;
}

function replaced(sound: unknown, faulty: unknown, fresh: unknown): unknown {
  if (Object.is(sound, faulty)) return sound;
  if (!isRecord(sound) || !isRecord(faulty) || !isRecord(fresh)) return fresh;
  const keys = Object.keys(sound);
  return Object.fromEntries(
    keys.map((key) => [key, replaced(sound[key], faulty[key], fresh[key])]),
  );
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Converts the data of a file from one version to the next. */
export type Migration = (data: Readonly<Record<string, unknown>>) => Record<string, unknown>;

/**
 * How older rounds are migrated: `n` holds the step from version n to n + 1. A step is never
 * removed: a round stays readable for ever. Add each new version with its step, and a round of the
 * previous version to tests/history/kept/.
 */
export const roundMigrations: Readonly<Record<number, Migration>> = {};

/**
 * Brings a file's data up to a version, step by step.
 *
 * @param data as parsed, with its `version`
 * @param newest the version that is wanted
 * @returns undefined if the version is not valid, or no step leads on from it
 */
export function migrate(
  data: Readonly<Record<string, unknown>>,
  newest: number,
  migrations: Readonly<Record<number, Migration>>,
): Readonly<Record<string, unknown>> | undefined {
  const { version } = data;
  if (typeof version !== "number" || !Number.isInteger(version)) return undefined;
  let current = data;
  for (let from = version; from < newest; from++) {
    const step = migrations[from];
    if (step === undefined) return undefined;
    current = { ...step(current), version: from + 1 };
  }
  return current;
}

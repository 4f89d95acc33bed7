import { getReadingName } from "../measure/reading-kinds.js";

/** A reading of several strips together: "hiss of 1/line to 8/line together". */
export function formatSumName({
  reading,
  paths,
}: {
  readonly reading: string;
  readonly paths: readonly string[];
}): string {
  const name = getReadingName(reading);
  return `${name} of ${paths[0]} to ${paths.at(-1)} together`;
}

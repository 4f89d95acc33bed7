import type { ReadingKind, ReadingRole, ShareDomain } from "./reading-kind.js";
import { breaks } from "./readings/breaks.js";
import { burstiness } from "./readings/burstiness.js";
import { clicks } from "./readings/clicks.js";
import { cornerHigh, cornerLow, orderHigh, orderLow } from "./readings/corners.js";
import { dc } from "./readings/dc.js";
import { delay } from "./readings/delay.js";
import { imd, imd2, imd3 } from "./readings/difference-frequency.js";
import { compression, harmonics, thd, thd100, thdHot, thdN } from "./readings/distortion.js";
import { ein } from "./readings/ein.js";
import { clipSide, headroom } from "./readings/headroom.js";
import { hum, humEven, humOdd, mains } from "./readings/hum.js";
import { instability, instability100 } from "./readings/instability.js";
import { gain, level } from "./readings/level.js";
import { linearity } from "./readings/linearity.js";
import { hiss, noise, noise20k, noiseA } from "./readings/noise.js";
import { noiseSlope } from "./readings/noise-slope.js";
import { noise468 } from "./readings/noise468.js";
import { polarity } from "./readings/polarity.js";
import { balance, stereoPhase } from "./readings/stereo.js";
import { strayTone, strayToneFrequency } from "./readings/stray-tone.js";

const rows = [
  level,
  gain,
  balance,
  stereoPhase,
  delay,
  polarity,
  cornerLow,
  cornerHigh,
  orderLow,
  orderHigh,
  thd,
  thdN,
  thd100,
  thdHot,
  compression,
  headroom,
  clipSide,
  linearity,
  imd,
  noise,
  noiseA,
  noise468,
  hiss,
  noiseSlope,
  ein,
  hum,
  humOdd,
  humEven,
  mains,
  strayTone,
  strayToneFrequency,
  clicks,
  burstiness,
  instability,
  instability100,
  breaks,
  dc,
  ...harmonics,
  imd2,
  imd3,
  noise20k,
] as const;

/** The ids of all readings. A stored round may have others, from an older or newer program. */
export type ReadingId = (typeof rows)[number]["id"];

/** Every reading there is, in the order in which they are shown. */
export const readingKinds: readonly ReadingKind<ReadingId>[] = rows;

const byId: ReadonlyMap<string, ReadingKind<ReadingId>> = new Map(
  readingKinds.map((kind) => [kind.id, kind]),
);

/**
 * The row of a reading; undefined for an unknown id.
 *
 * @example
 * findReadingKind("hum")?.unit; // "dBFS"
 */
export function findReadingKind(id: string): ReadingKind<ReadingId> | undefined {
  return byId.get(id);
}

/**
 * The name of a reading; its id if this program does not know it.
 *
 * @example
 * getReadingName("hum"); // "hum"
 * getReadingName("reading-of-another-version"); // "reading-of-another-version"
 */
export function getReadingName(id: string): string {
  return findReadingKind(id)?.name ?? id;
}

/**
 * How a shared part's contribution adds in a reading; undefined for one that it does not change.
 *
 * @example
 * getShareDomain("noise"); // "power"
 * getShareDomain("gain"); // "shift"
 */
export function getShareDomain(id: string): ShareDomain | undefined {
  return findReadingKind(id)?.share;
}

const byRole: ReadonlyMap<string, ReadingId> = new Map(
  readingKinds.flatMap(({ id, role }) => (role === undefined ? [] : [[role, id] as const])),
);

/**
 * The id of the reading that has a role.
 *
 * @throws Error where no row of the registry has it, which is a bug
 * @example
 * getReadingId("gain"); // "gain"
 */
export function getReadingId(role: ReadingRole): ReadingId {
  const id = byRole.get(role);
  if (id === undefined) throw new Error(`no reading has the role "${role}"`);
  return id;
}

import { factorOfDb } from "./levels.js";
import { createRng, type Rng } from "./rng.js";
import type { Bank, Banks, Group, SharedParts, SupplyFeed, WarmUp } from "./shared-types.js";
import { deviceNoise, electrolyticFarad, resistor, typical } from "./tolerances.js";
import type { MasterValues, PathValues, Supply, VirtualDesk } from "./types.js";

/** Current of one strip's discrete stages and op amps (common practice: 100 to 150 mA a rail). */
const stripA = 0.125;

/**
 * Draws the shared parts of a desk. A part depends on the seed and its own name alone.
 *
 * @param seed the desk's
 * @param banks a desk that names none has none: its strips then have a supply of their own each
 */
export function drawSharedParts(seed: number, banks: Banks, warmUp?: WarmUp): SharedParts {
  const rngOf = (kind: string, { name }: Bank) => createRng(`${seed}/${kind}/${name}/parts`);
  return {
    feeds: (banks.feeds ?? []).map((bank) => drawFeed(rngOf("feed", bank), bank)),
    ribbons: (banks.ribbons ?? []).map((bank) => ({ ...bank, contactOhm: 0.05, groundV: 0 })),
    groups: (banks.groups ?? []).map((bank) => drawGroup(rngOf("group", bank), bank)),
    reservoirLeft: 1,
    earthV: 0,
    masterLevel: { db: 0, fromTurn: 0 },
    warmUp: warmUp ?? { db: 0, turns: 1 },
  };
}

/** Sized for a tenth of a volt of ripple at 50 Hz: a tenth of what stands on the reservoir. */
function drawFeed(rng: Rng, bank: Bank): SupplyFeed {
  const loadA = stripA * bank.strips.length;
  return {
    ...bank,
    loadA,
    reservoirFarad: electrolyticFarad(rng, loadA * 3.2e-3),
    seriesOhm: resistor(rng, 1.65 / loadA),
    smoothingFarad: electrolyticFarad(rng, loadA * 10e-3),
    railV: 18,
  };
}

function drawGroup(rng: Rng, bank: Bank): Group {
  return {
    ...bank,
    feedbackOhm: resistor(rng, 10_000),
    busOhm: 11_000 / bank.strips.length,
    noiseV: deviceNoise(rng, 5e-9),
    mixOhms: [resistor(rng, 20_000), resistor(rng, 20_000)],
  };
}

/**
 * Ripple on a feed's rails at a multiple of twice the mains. A reservoir that a constant current
 * empties between the rectifier's pulses carries a sawtooth of I/(2fC) from peak to peak, whose
 * k-th line is 1/(πk) of that (Fourier series of a sawtooth); the series resistor and the smoothing
 * capacitor divide it by |1 + jωRC|.
 *
 * @returns peak volts
 */
export function computeFeedRipple(
  { loadA, reservoirFarad, seriesOhm, smoothingFarad }: SupplyFeed,
  mainsHz: number,
  multiple = 1,
): number {
  const hz = 2 * mainsHz * multiple;
  const sawtoothV = loadA / (2 * mainsHz * reservoirFarad);
  return (
    sawtoothV / (Math.PI * multiple) / Math.hypot(1, 2 * Math.PI * hz * seriesOhm * smoothingFarad)
  );
}

/** Resistance from a group's amplifier to the mix bus, ohms. */
export function computeMixOhm({ mixOhms }: Group): number {
  return 1 / mixOhms.reduce((sum, ohm) => sum + 1 / ohm, 0);
}

/** Noise after a group's amplifier, V/√Hz, without the thermal noise of its resistors. */
export function computeGroupNoise({ noiseV, feedbackOhm, busOhm }: Group): number {
  return noiseV * (1 + feedbackOhm / busOhm);
}

/** The first bank that holds a strip. */
export function findBank<B extends Bank>(banks: readonly B[], strip: number): B | undefined {
  return banks.find(({ strips }) => strips.includes(strip));
}

/** The master section as it is set while the desk's present path is recorded. */
export function buildMasterInTurn({ master, sharedParts, turn }: VirtualDesk): MasterValues {
  const { masterLevel, warmUp } = sharedParts;
  const touchedDb = turn >= masterLevel.fromTurn ? masterLevel.db : 0;
  const levelDb = touchedDb + warmUp.db * Math.exp(-turn / warmUp.turns);
  return { ...master, outputGain: master.outputGain * factorOfDb(levelDb) };
}

/**
 * A path's values with what its feed, its ribbon, the supply and the earth of the desk make of them.
 *
 * @param strip 1-based
 */
export function applySharedParts(
  values: PathValues,
  { sharedParts, seed, mainsHz }: VirtualDesk,
  strip: number,
): PathValues {
  const feed = findBank(sharedParts.feeds, strip);
  const ribbon = findBank(sharedParts.ribbons, strip);
  const fed = feed === undefined ? values : applyFeed(values, feed, mainsHz);
  const { cable, supply } = fed;
  const desk = {
    ...fed,
    supply: { ...supply, rippleV: supply.rippleV / sharedParts.reservoirLeft },
    cable: { ...cable, commonV: cable.commonV + sharedParts.earthV },
  };
  if (ribbon === undefined) return desk;
  // The strips' contacts have tarnished unequally.
  const contactOhm = typical(createRng(`${seed}/ribbon/${strip}`), ribbon.contactOhm);
  return {
    ...desk,
    driveOhm: desk.driveOhm + contactOhm,
    magneticV: desk.magneticV + ribbon.groundV,
  };
}

function applyFeed(values: PathValues, feed: SupplyFeed, mainsHz: number): PathValues {
  const { gain } = values;
  const { railHighV, railLowV } = gain.amplifier;
  const supply: Supply = {
    ...values.supply,
    // Twice the mains as it reaches the strip; higher lines are smoothed the more.
    rippleV: computeFeedRipple(feed, mainsHz),
    harmonics: [1, 2, 3, 4].map(
      (k) => computeFeedRipple(feed, mainsHz, k) / computeFeedRipple(feed, mainsHz),
    ),
  };
  return {
    ...values,
    supply,
    gain: {
      ...gain,
      amplifier: {
        ...gain.amplifier,
        railHighV: Math.min(railHighV, feed.railV),
        railLowV: Math.max(railLowV, -feed.railV),
      },
    },
  };
}

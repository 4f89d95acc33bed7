import { exponential } from "../exponential.js";
import { factorOfDb } from "../levels.js";
import { type Rng, uniform } from "../rng.js";
import type { Stage } from "../types.js";
import type { VirtualSwitch } from "./types.js";

/** A time in which the contact is poor, and its resistance as a fraction of the load. */
interface Poor {
  readonly fromS: number;
  readonly untilS: number;
  readonly ohmParts: number;
}

/** A bouncing contact is open except for leakage. */
const openOhmParts = 3000;

/**
 * A switch being pressed: it breaks before it makes, bounces, and, if dirty, opens again now and
 * then during the next quarter second.
 *
 * @param presses moments, seconds
 */
export function movedSwitch(
  one: VirtualSwitch,
  presses: readonly number[],
  rng: Rng,
  sampleRate: number,
): Stage {
  const poor = presses.flatMap((atS) => poorAt(atS, one, rng)).sort((a, b) => a.fromS - b.fromS);
  let n = 0;
  let pressed = 0;
  let next = 0;
  let active: Poor[] = [];
  return (block) => {
    for (let i = 0; i < block.length; i++) {
      const timeS = n++ / sampleRate;
      while (pressed < presses.length && presses[pressed] <= timeS) pressed++;
      while (next < poor.length && poor[next].fromS <= timeS) active.push(poor[next++]);
      if (active.length > 0) active = active.filter(({ untilS }) => untilS > timeS);
      const ohm = active.reduce((most, { ohmParts }) => Math.max(most, ohmParts), 0);
      const level = pressed % 2 === 1 ? factorOfDb(one.inDb) : 1;
      block[i] *= level / (1 + ohm);
    }
  };
}

function poorAt(atS: number, one: VirtualSwitch, rng: Rng): readonly Poor[] {
  const made = atS + one.travelS * (0.4 + 0.6 * uniform(rng));
  const times: Poor[] = [{ fromS: atS, untilS: made, ohmParts: openOhmParts }];
  let t = made;
  for (let bounce = 0; bounce < 3; bounce++) {
    const fromS = t + 0.0004 * exponential(rng);
    t = fromS + 0.0004 * exponential(rng);
    times.push({ fromS, untilS: t, ohmParts: openOhmParts });
  }
  for (let lapse = 0; lapse < one.lapses; lapse++) {
    const fromS = made + 0.03 + 0.22 * uniform(rng);
    const untilS = fromS + one.lapseS * (0.7 + 0.6 * uniform(rng));
    times.push({ fromS, untilS, ohmParts: one.lapseOhmParts * (0.7 + 0.6 * uniform(rng)) });
  }
  return times;
}

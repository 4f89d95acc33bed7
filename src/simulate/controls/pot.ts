import { exponential } from "../exponential.js";
import { factorOfDb } from "../levels.js";
import { createRng, uniform } from "../rng.js";
import type { Stage } from "../types.js";
import { placeOf, type Stroke } from "./hand.js";
import type { VirtualPot } from "./types.js";

/** Grains of the track: 60 mm of carbon in steps of 20 µm. */
const grains = 3000;
/** Corner above which the stage after the control passes changes of DC voltage, hertz. */
const couplingHz = 3;

/**
 * A moving pot: a divider whose ratio follows the wiper, and before the load a contact resistance
 * that depends on the grain under the wiper. DC voltage on the track goes through the same contact,
 * and on through a coupling capacitor.
 *
 * @param name the same name gives the same track
 */
export function movedPot(
  pot: VirtualPot,
  strokes: readonly Stroke[],
  name: string,
  sampleRate: number,
): Stage {
  const contact = trackOf(pot, name);
  const place = placeOf(strokes, pot.markAt);
  const keep = Math.exp((-2 * Math.PI * couplingHz) / sampleRate);
  let n = 0;
  let charge = pot.directV * levelAt(pot, pot.markAt);
  let ratioOf = Number.NaN;
  let ratio = 1;
  return (block) => {
    for (let i = 0; i < block.length; i++) {
      // Rounding may carry a stroke slightly beyond the end of the track.
      const at = Math.max(0, Math.min(1, place(n++ / sampleRate)));
      if (at !== ratioOf) {
        ratio = levelAt(pot, at);
        ratioOf = at;
      }
      const through = 1 / (1 + contact[Math.min(grains - 1, Math.floor(at * grains))]);
      const direct = pot.directV * ratio * through;
      charge = direct + keep * (charge - direct);
      block[i] = block[i] * ratio * through + direct - charge;
    }
  };
}

/** The divider's ratio relative to that at the mark, linear in decibels on both sides. */
function levelAt({ markAt, lowDb, highDb }: VirtualPot, at: number): number {
  if (at >= markAt) return factorOfDb((highDb * (at - markAt)) / Math.max(1e-9, 1 - markAt));
  const down = (markAt - at) / markAt;
  if (lowDb > -100) return factorOfDb(lowDb * down);
  // A fader: 40 dB over most of the travel, and to zero over the last tenth.
  const tail = Math.min(1, (1 - down) / 0.1);
  return factorOfDb(-45 * down) * tail;
}

/** Contact resistance of each grain as a fraction of the load. */
function trackOf(pot: VirtualPot, name: string): Float64Array {
  const rng = createRng(`${name}/track`);
  const track = Float64Array.from({ length: grains }, () => pot.roughness * exponential(rng));
  for (let zone = 0; zone < pot.wornZones; zone++) {
    // Wear is where the wiper mostly rests: around the mark.
    const middle = Math.min(0.98, Math.max(0.02, pot.markAt + 0.5 * (uniform(rng) - 0.5)));
    const half = (pot.zoneWidth * (0.5 + uniform(rng))) / 2;
    const first = Math.max(0, Math.floor((middle - half) * grains));
    const last = Math.min(grains - 1, Math.ceil((middle + half) * grains));
    for (let g = first; g <= last; g++) {
      if (uniform(rng) < 0.7) track[g] += pot.wornOhmParts * exponential(rng);
    }
  }
  return track;
}

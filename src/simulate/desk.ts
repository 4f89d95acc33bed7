import { DeskroundError } from "../errors.js";
import { aged } from "./ageing.js";
import { applyBatch } from "./batches.js";
import { applyFault, applyMasterFault } from "./faults.js";
import { voltsOfDbu } from "./levels.js";
import { masterStages } from "./master.js";
import { audioInterface, drawChannel, drawMaster, drawOffset, drawPath } from "./nominal.js";
import { createRng, gaussian } from "./rng.js";
import { resampleByPpm } from "./stages/clock.js";
import { type Occasion, stripStages } from "./strip.js";
import type { MasterValues, PathValues, Stage, VirtualDesk, VirtualDeskOptions } from "./types.js";

/** Samples that go through all stages together, few enough to stay in the processor's cache. */
const blockLength = 2048;

/**
 * Draws a desk from its seed and puts the faults in. The parts of a path depend on the seed and the
 * path's name alone, so a fault leaves every other path, and every other part, as it was.
 *
 * @throws DeskroundError when a fault's name or place is unknown
 *
 * @example
 * const desk = virtualDesk({ seed: 1, strips: 24, inputs: ["mic", "line"], mainsHz: 50,
 *   faults: [{ at: "7/mic", fault: "dried-coupling", severity: 0.5 }] });
 * const capture = renderPathReport(desk, 7, "mic", synthesise(table, 48000), 48000);
 */
export function virtualDesk(options: VirtualDeskOptions): VirtualDesk {
  const {
    seed,
    strips,
    inputs,
    mainsHz,
    clockPpm = 0,
    occasion = 0,
    take = 0,
    cableHum = 1,
  } = options;
  const direct = options.output === "direct";
  const paths: Record<string, PathValues> = {};
  for (let strip = 1; strip <= strips; strip++) {
    const place = strips > 1 ? (strip - 1) / (strips - 1) : 0;
    const channel = drawChannel(createRng(`${seed}/${strip}/parts`), place);
    for (const input of inputs) {
      const path = `${strip}/${input}`;
      const hand = createRng(`${seed}/${path}/hand/${occasion}`);
      const drawn = drawPath(createRng(`${seed}/${path}/parts`), hand, input, channel);
      paths[path] = {
        ...drawn,
        cable: { ...drawn.cable, commonV: drawn.cable.commonV * cableHum },
        // An output capacitor keeps it inside the desk.
        offsetV: direct ? drawOffset(createRng(`${seed}/${path}/offset`)) : 0,
      };
    }
  }
  for (const batch of options.batches ?? []) {
    for (const path of pathsOf(batch.strips, inputs)) {
      if (paths[path] === undefined) throw noSuchPath(path, Object.keys(paths));
      paths[path] = applyBatch(paths[path], batch.work);
    }
  }
  for (const { at, years } of options.ages ?? []) {
    for (const path of placesOf(at, paths)) paths[path] = aged(paths[path], years);
  }
  let master: MasterValues = drawMaster(createRng(`${seed}/master/parts`), strips);
  if (direct)
    master = { ...master, coupling: { ...master.coupling, farad: Number.POSITIVE_INFINITY } };
  for (const { at, fault, severity } of options.faults) {
    if (at === "master") {
      master = applyMasterFault(master, fault, severity);
      continue;
    }
    for (const path of placesOf(at, paths)) paths[path] = applyFault(paths[path], fault, severity);
  }
  return {
    seed,
    occasion,
    take,
    mainsHz,
    clockPpm,
    strips,
    inputs,
    interface: { ...audioInterface, ...options.interface },
    master,
    paths,
  };
}

/**
 * Plays a signal into one path and records what comes back. The same call gives the same samples,
 * whatever was rendered before.
 *
 * @param strip 1 to the number of strips
 * @param signal full scale ±1; its nominal level comes back unchanged from a sound path
 * @param sampleRate samples per second, 40 kHz or more
 * @param moved controls that a hand moves meanwhile, between the strip and the bus
 * @returns capture, full scale ±1, clipped there, not quantised; as long as the signal by the
 *   capture's clock
 * @throws DeskroundError when the desk has no such path
 */
export function simulatePath(
  desk: VirtualDesk,
  strip: number,
  input: string,
  signal: Float64Array,
  sampleRate: number,
  moved: readonly Stage[] = [],
): Float64Array {
  const path = `${strip}/${input}`;
  const values = desk.paths[path];
  if (values === undefined) throw noSuchPath(path, Object.keys(desk.paths));
  const name = `${desk.seed}/${path}/noise/${desk.occasion}${desk.take > 0 ? `/${desk.take}` : ""}`;
  const occasion: Occasion = {
    name,
    sampleRate,
    // The grid wanders by hundredths of a hertz within the hour.
    mainsHz: desk.mainsHz + 0.02 * gaussian(createRng(`${name}/grid`)),
    blockLength,
    sourceNoiseV: desk.interface.outputNoiseV,
  };
  const strips = stripStages(values, occasion);
  const master = masterStages(desk.master, values.summingOhm, desk.interface, occasion);
  const stages = [...strips, ...moved, ...master];
  const { fullScaleDbu, inputFullScaleDbu = fullScaleDbu } = desk.interface;
  const fullScaleV = Math.SQRT2 * voltsOfDbu(fullScaleDbu);
  const inputV = Math.SQRT2 * voltsOfDbu(inputFullScaleDbu);
  const played = resampleByPpm(signal, desk.clockPpm);
  // The hand begins with the signal.
  settle([...strips, ...master], settlingS(values) * sampleRate);
  const out = new Float64Array(played.length);
  for (let start = 0; start < out.length; start += blockLength) {
    const end = Math.min(out.length, start + blockLength);
    const block = out.subarray(start, end);
    for (let i = 0; i < block.length; i++) block[i] = fullScaleV * played[start + i];
    for (const stage of stages) stage(block);
    for (let i = 0; i < block.length; i++) {
      block[i] = Math.max(-1, Math.min(1, block[i] / inputV));
    }
  }
  return out;
}

/** Seconds after switching on until direct voltages rest; 0 where there are none to speak of. */
function settlingS({ leakage }: PathValues): number {
  return leakage.ohm === Number.POSITIVE_INFINITY ? 0 : 3;
}

function settle(stages: readonly Stage[], samples: number): void {
  const block = new Float64Array(blockLength);
  for (let at = 0; at < samples; at += blockLength) {
    block.fill(0);
    for (const stage of stages) stage(block);
  }
}

/** The paths at a place: one, or all inputs of a strip. */
function placesOf(at: string, paths: Readonly<Record<string, PathValues>>): readonly string[] {
  const hit = Object.keys(paths).filter((path) => path === at || path.startsWith(`${at}/`));
  if (hit.length === 0) throw noSuchPath(at, Object.keys(paths));
  return hit;
}

function pathsOf(strips: readonly number[], inputs: readonly string[]): string[] {
  return strips.flatMap((strip) => inputs.map((input) => `${strip}/${input}`));
}

function noSuchPath(at: string, paths: readonly string[]): DeskroundError {
  return new DeskroundError(
    "usage",
    `The virtual desk has no path ${at}.`,
    `Its paths run from ${paths[0]} to ${paths[paths.length - 1]}.`,
  );
}

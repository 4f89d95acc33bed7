import { DeskroundError } from "../errors.js";
import { aged } from "./ageing.js";
import { applyBatch } from "./batches.js";
import { applyFault, applyMasterFault } from "./faults.js";
import { createGroupStages } from "./group.js";
import { factorOfDb } from "./levels.js";
import { masterStages } from "./master.js";
import { audioInterface, drawChannel, drawMaster, drawOffset, drawPath } from "./nominal.js";
import { buildOccasion, playThrough, settle } from "./playback.js";
import { replaceParts } from "./repair.js";
import { createRng } from "./rng.js";
import { applySharedFault } from "./shared-faults.js";
import {
  applySharedParts,
  buildMasterInTurn,
  computeMixOhm,
  drawSharedParts,
  findBank,
} from "./shared-parts.js";
import { type Occasion, stripStages } from "./strip.js";
import { widenScatter } from "./tolerances.js";
import type {
  InterfaceValues,
  MasterValues,
  PathValues,
  Stage,
  VirtualDesk,
  VirtualDeskOptions,
} from "./types.js";

/**
 * Draws a desk from its seed and puts the faults in. The parts of a path depend only on the seed
 * and the path's name, so a fault does not change any other path or part.
 *
 * @throws DeskroundError when a fault's name or place is unknown
 *
 * @example
 * const desk = virtualDesk({ seed: 1, strips: 24, inputs: ["mic", "line"], mainsHz: 50,
 *   faults: [{ at: "7/mic", fault: "dried-coupling", severity: 0.5 }] });
 * const capture = simulatePath(desk, 7, "mic", synthesise(table, 48000), 48000);
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
    floorDb = 0,
  } = options;
  const direct = options.output === "direct";
  const paths: Record<string, PathValues> = {};
  for (let strip = 1; strip <= strips; strip++) {
    for (const input of inputs) {
      const path = `${strip}/${input}`;
      const drawn = drawParts(options, path);
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
  for (const { at, fault, severity } of options.repaired ?? []) {
    for (const path of placesOf(at, paths)) {
      const fresh = drawParts(options, path, "/renewed");
      paths[path] = replaceParts(paths[path], applyFault(paths[path], fault, severity), fresh);
    }
  }
  const floor = factorOfDb(floorDb);
  const desk: VirtualDesk = {
    seed,
    occasion,
    take,
    turn: 0,
    mainsHz,
    clockPpm,
    strips,
    inputs,
    interface: raiseInterface({ ...audioInterface, ...options.interface }, floor),
    master: { ...master, summingNoiseV: master.summingNoiseV * floor },
    sharedParts: drawSharedParts(seed, options.banks ?? {}, options.warmUp),
    paths,
  };
  return (options.sharedFaults ?? []).reduce(applySharedFault, desk);
}

function raiseInterface(values: InterfaceValues, floor: number): InterfaceValues {
  const { outputNoiseV, inputNoiseV } = values;
  return { ...values, outputNoiseV: outputNoiseV * floor, inputNoiseV: inputNoiseV * floor };
}

/**
 * A path with parts drawn at random and knobs set for the occasion.
 *
 * @param renewed names the parts of a later repair; absent for the parts that the desk was built
 * with
 */
function drawParts(
  { seed, strips, occasion = 0, scatter = 1, humGradient = 0 }: VirtualDeskOptions,
  path: string,
  renewed = "",
) {
  const [strip, input] = path.split("/");
  const place = strips > 1 ? (Number(strip) - 1) / (strips - 1) : 0;
  const drawn = (name: string) => widenScatter(createRng(name), scatter);
  const channel = drawChannel(drawn(`${seed}/${strip}/parts${renewed}`), place);
  const magneticV = channel.magneticV * (1 + humGradient * place ** 3);
  const hand = createRng(`${seed}/${path}/hand/${occasion}`);
  const parts = drawn(`${seed}/${path}/parts${renewed}`);
  return drawPath(parts, hand, input, { ...channel, magneticV });
}

/**
 * Plays a signal into one path and records what comes back. The same call gives the same samples,
 * whatever was rendered before.
 *
 * @param strip 1 to the number of strips
 * @param signal full scale ±1; its nominal level comes back unchanged from a healthy path
 * @param sampleRate samples per second, 40 kHz or more
 * @param moved controls that a hand moves meanwhile, between the strip and the bus
 * @returns capture, full scale ±1, clipped there, not quantised; as long as the signal, by the
 * capture's clock
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
  const own = desk.paths[path];
  if (own === undefined) throw noSuchPath(path, Object.keys(desk.paths));
  const occasion = buildOccasion(desk, path, sampleRate);
  const values = applySharedParts(own, desk, strip);
  const strips = stripStages(values, occasion);
  const master = sharedStages(desk, strip, values.summingOhm, occasion);
  // The hand starts with the signal.
  settle([...strips, ...master], settlingS(values) * sampleRate);
  return playThrough(desk, [...strips, ...moved, ...master], signal);
}

/** From a strip's summing resistor by its group, where it has one, to the interface. */
function sharedStages(
  desk: VirtualDesk,
  strip: number,
  summingOhm: number,
  occasion: Occasion,
): Stage[] {
  const { groups, earthV } = desk.sharedParts;
  const group = findBank(groups, strip);
  const master = buildMasterInTurn(desk);
  if (group === undefined) {
    return masterStages(master, summingOhm, desk.interface, occasion, earthV);
  }
  return [
    ...createGroupStages(group, summingOhm, occasion),
    ...masterStages(master, computeMixOhm(group), desk.interface, occasion, earthV),
  ];
}

/** Seconds after switching on until DC voltages settle; 0 if they are negligible. */
function settlingS({ leakage }: PathValues): number {
  return leakage.ohm === Number.POSITIVE_INFINITY ? 0 : 3;
}

/** The paths at a place: one path, or all inputs of a strip. */
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

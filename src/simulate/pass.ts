import { DeskroundError } from "../errors.js";
import { factorOfDb, voltsOfDbu } from "./levels.js";
import { masterStages } from "./master.js";
import { drawMaster } from "./nominal.js";
import { buildOccasion, settle } from "./playback.js";
import { createRng } from "./rng.js";
import { applySharedParts, buildMasterInTurn } from "./shared-parts.js";
import { resampleByPpm } from "./stages/clock.js";
import { rcLowPass } from "./stages/first-order.js";
import { createGainStage } from "./stages/gain.js";
import { createMainsLinesStage, fieldLines } from "./stages/mains.js";
import { stripStages } from "./strip.js";
import type { MasterValues, Stage, VirtualDesk } from "./types.js";

/** A strip that is open while outputs play. */
export interface OpenStrip {
  readonly strip: number;
  readonly input: string;
  /** Output of the interface that feeds it, from 1. */
  readonly output: number;
  /** What that output plays over the whole pass, full scale ±1; all have the same length. */
  readonly signal: Float64Array;
  /** Bus that it is routed to, from 0. */
  readonly bus: number;
}

/** What is wrong before the strips or after them. */
export type PassFault =
  | { readonly at: "output"; readonly output: number; readonly fault: "level"; readonly db: number }
  | { readonly at: "output"; readonly output: number; readonly fault: "inverted" }
  | {
      readonly at: "output";
      readonly output: number;
      readonly fault: "treble";
      readonly hz: number;
    }
  /** Volts of the mains' fundamental, from an open shield. */
  | {
      readonly at: "output";
      readonly output: number;
      readonly fault: "hum";
      readonly volts: number;
    }
  | { readonly at: "bus"; readonly bus: number; readonly fault: "level"; readonly db: number }
  | { readonly at: "bus"; readonly bus: number; readonly fault: "treble"; readonly hz: number }
  | { readonly at: "bus"; readonly bus: number; readonly fault: "noise"; readonly factor: number };

export interface PassOptions {
  /** Names the noise of this play. */
  readonly name: string;
  /**
   * `mix`: all strips on the mix bus; otherwise a number of buses, each recorded on a separate
   * channel.
   */
  readonly buses: "mix" | number;
  readonly faults?: readonly PassFault[];
  /**
   * Crosstalk between neighbouring channels, decibels at 1 kHz, rising 6 dB per octave; none if
   * absent.
   */
  readonly crosstalkDb?: number;
}

const blockLength = 2048;

/**
 * Plays a signal for each output into strips that are all open, and records the buses. A strip adds
 * its noise whether it is played into or not.
 *
 * @param sampleRate samples per second, 40 kHz or more
 * @returns one capture per channel, full scale ±1, clipped there
 * @throws DeskroundError when the desk has no such path
 */
export function simulatePass(
  desk: VirtualDesk,
  strips: readonly OpenStrip[],
  sampleRate: number,
  { name, buses, faults = [], crosstalkDb }: PassOptions,
): readonly Float64Array[] {
  const { fullScaleDbu, inputFullScaleDbu = fullScaleDbu } = desk.interface;
  const fullScaleV = Math.SQRT2 * voltsOfDbu(fullScaleDbu);
  const inputV = Math.SQRT2 * voltsOfDbu(inputFullScaleDbu);
  const chains = strips.map((one) => createStripChain(desk, one, sampleRate, name, faults));
  const count = buses === "mix" ? 1 : buses;
  const length = chains[0]?.played.length ?? 0;
  const out = Array.from({ length: count }, () => new Float64Array(length));
  const busOhm = chains[0]?.summingOhm ?? 10_000;
  const masters = out.map((_, bus) =>
    createBus(desk, bus, buses, busOhm, sampleRate, name, faults),
  );
  const one = new Float64Array(blockLength);
  for (let start = 0; start < length; start += blockLength) {
    const end = Math.min(length, start + blockLength);
    for (const { played, stages, bus, summingOhm } of chains) {
      const block = one.subarray(0, end - start);
      for (let i = 0; i < block.length; i++) block[i] = fullScaleV * played[start + i];
      for (const stage of stages) stage(block);
      const share = busOhm / summingOhm;
      for (let i = 0; i < block.length; i++) out[bus][start + i] += share * block[i];
    }
    for (const [bus, stages] of masters.entries()) {
      const block = out[bus].subarray(start, end);
      for (const stage of stages) stage(block);
    }
  }
  if (crosstalkDb !== undefined) addCrosstalk(out, crosstalkDb, sampleRate);
  for (const channel of out) {
    for (let i = 0; i < length; i++) channel[i] = Math.max(-1, Math.min(1, channel[i] / inputV));
  }
  return out;
}

function createStripChain(
  desk: VirtualDesk,
  { strip, input, output, signal, bus }: OpenStrip,
  sampleRate: number,
  name: string,
  faults: readonly PassFault[],
) {
  const path = `${strip}/${input}`;
  const own = desk.paths[path];
  if (own === undefined) {
    throw new DeskroundError("usage", `The virtual desk has no path ${path}.`, "Name one it has.");
  }
  const occasion = buildOccasion(desk, `${path} ${name}`, sampleRate);
  const values = applySharedParts(own, desk, strip);
  const stages = stripStages(values, occasion);
  settle(stages, (values.leakage.ohm === Number.POSITIVE_INFINITY ? 0 : 3) * sampleRate);
  const before = faults.flatMap((one) =>
    one.at === "output" && one.output === output ? outputStages(one, desk, name, sampleRate) : [],
  );
  return {
    played: resampleByPpm(signal, desk.clockPpm),
    stages: [...before, ...stages],
    bus,
    summingOhm: values.summingOhm,
  };
}

function outputStages(
  fault: Extract<PassFault, { at: "output" }>,
  { mainsHz }: VirtualDesk,
  name: string,
  sampleRate: number,
): readonly Stage[] {
  switch (fault.fault) {
    case "level":
      return [createGainStage(factorOfDb(fault.db))];
    case "inverted":
      return [createGainStage(-1)];
    case "treble":
      return rcLowPass(fault.hz, sampleRate);
    case "hum": {
      const rng = createRng(`${name}/output ${fault.output}`);
      return [createMainsLinesStage(fieldLines(fault.volts), mainsHz, rng, sampleRate)];
    }
  }
}

function createBus(
  desk: VirtualDesk,
  bus: number,
  buses: PassOptions["buses"],
  summingOhm: number,
  sampleRate: number,
  name: string,
  faults: readonly PassFault[],
): readonly Stage[] {
  const drawn: MasterValues =
    buses === "mix"
      ? buildMasterInTurn(desk)
      : drawMaster(createRng(`${desk.seed}/bus ${bus}/parts`), desk.strips);
  const own = faults.filter((one) => one.at === "bus" && one.bus === bus);
  const noise = own.find((one) => one.fault === "noise");
  const values = noise ? { ...drawn, summingNoiseV: drawn.summingNoiseV * noise.factor } : drawn;
  const after = own.flatMap((one) => {
    if (one.fault === "level") return [createGainStage(factorOfDb(one.db))];
    return one.fault === "treble" ? rcLowPass(one.hz, sampleRate) : [];
  });
  const occasion = buildOccasion(desk, `bus ${bus} ${name}`, sampleRate);
  const { earthV } = desk.sharedParts;
  return [...masterStages(values, summingOhm, desk.interface, occasion, earthV), ...after];
}

/** A small capacitance between neighbours: a difference from sample to sample, times a share. */
function addCrosstalk(channels: readonly Float64Array[], db: number, sampleRate: number): void {
  // |1 − exp(−jω)| = 2·sin(ω/2)
  const share = factorOfDb(db) / (2 * Math.sin((Math.PI * 1000) / sampleRate));
  const clean = channels.map((channel) => channel.slice());
  for (const [k, channel] of channels.entries()) {
    for (const beside of [clean[k - 1], clean[k + 1]]) {
      if (beside === undefined) continue;
      for (let i = 1; i < channel.length; i++) channel[i] += share * (beside[i] - beside[i - 1]);
    }
  }
}

import { factorOfDb } from "./levels.js";
import { gaussian, type Rng } from "./rng.js";
import { legGains } from "./stages/legs.js";
import {
  deviceNoise,
  electrolyticFarad,
  filmFarad,
  offTheMarkDb,
  resistor,
  typical,
} from "./tolerances.js";
import type {
  Amplifier,
  Cable,
  Capacitor,
  InterfaceValues,
  Leg,
  MasterValues,
  PathValues,
  Receiver,
  Supply,
} from "./types.js";

/**
 * The circuit as designed, with the tolerances of real parts. Values are common practice for a desk
 * of discrete inputs and op amps on ±18 V; levels inside the strip are 6 dB below those at the
 * sockets.
 */

/** Levels at nominal: at the mix output, inside the strip, at the mic socket; dBu. */
const outputDbu = 4;
const stripDbu = -2;
const micDbu = -40;

export const audioInterface: InterfaceValues = {
  fullScaleDbu: 22,
  // −100 and −98 dBu in 20 kHz.
  outputNoiseV: 55e-9,
  inputNoiseV: 69e-9,
  inputOhm: 10_000,
};

/** Parts that all inputs of a strip share. */
export type ChannelValues = Pick<
  PathValues,
  "lowCut" | "equaliser" | "driveOhm" | "shuntFarad" | "summingOhm" | "magneticV" | "supply"
>;

/** What differs from one kind of input to the other; ohms, farads, volts, hertz. */
interface InputDesign {
  readonly padGain: number;
  readonly sourceOhm: number;
  readonly shuntOhm: number;
  readonly commonV: number;
  readonly receiver: (rng: Rng) => Receiver;
  readonly feedbackOhm: number;
  readonly legFarad: number;
  readonly gainBandwidthHz: number;
  readonly noiseV: number;
  readonly flickerHz: number;
  readonly second: number;
  readonly third: number;
}

const mic: InputDesign = {
  // 150 Ω behind a pad that leaves −40 dBu when loaded with the 2.4 kΩ of the socket.
  padGain: factorOfDb(micDbu - outputDbu) * (1 + 150 / 2400),
  sourceOhm: 75,
  shuntOhm: 1200,
  commonV: 60e-6,
  receiver: (rng) => ({
    kind: "pair",
    seriesOhm: resistor(rng, 10),
    imbalance: resistor(rng, 1) - 1,
  }),
  feedbackOhm: 10_000,
  legFarad: 470e-6,
  gainBandwidthHz: 12e6,
  noiseV: 1.9e-9,
  flickerHz: 30,
  second: 6e-5,
  third: 4e-5,
};

function lineDesign(seriesOhm: number): InputDesign {
  return {
    padGain: 1,
    sourceOhm: 50,
    shuntOhm: 47_000,
    commonV: 600e-6,
    receiver: (rng) => ({
      kind: "difference",
      hotSeriesOhm: resistor(rng, seriesOhm),
      hotShuntOhm: resistor(rng, 5000),
      coldSeriesOhm: resistor(rng, seriesOhm),
      coldFeedbackOhm: resistor(rng, 5000),
      amplifierNoiseV: deviceNoise(rng, 5e-9),
    }),
    feedbackOhm: 10_000,
    legFarad: 22e-6,
    gainBandwidthHz: 8e6,
    noiseV: 5e-9,
    flickerHz: 50,
    second: 2.5e-5,
    third: 1.6e-5,
  };
}

/** Stages with few parts sit some volts off ground; the coupling capacitor blocks that. */
const couplingBiasV = 4;

/** Line −12 dB and up again, tape −9.5 dB and up again. */
const line = lineDesign(20_000);
const tape = lineDesign(15_000);

function designOf(input: string): InputDesign {
  if (input === "mic") return mic;
  return input === "tape" ? tape : line;
}

const calm: Pick<
  Amplifier,
  "railHighV" | "railLowV" | "saturationV" | "crossoverV" | "oscillationV" | "oscillationHz"
> = {
  railHighV: 18,
  railLowV: -18,
  saturationV: 0.65,
  crossoverV: 0,
  oscillationV: 0,
  oscillationHz: 70e3,
};

/**
 * Nonlinearity of a good electrolytic; from memory of published measurements, order of magnitude
 * only.
 */
function electrolytic(rng: Rng, farad: number): Capacitor {
  return {
    farad: electrolyticFarad(rng, farad),
    seriesOhm: typical(rng, 0.5),
    second: typical(rng, 1e-3),
    third: typical(rng, 3e-4),
  };
}

function leg(rng: Rng, sourceOhm: number, shuntOhm: number): Leg {
  return { sourceOhm, contactOhm: 0.05, shuntOhm: resistor(rng, shuntOhm) };
}

function localSupply(rng: Rng): Supply {
  return {
    rippleV: 0.1,
    feedOhm: resistor(rng, 100),
    decouplingFarad: electrolyticFarad(rng, 1000e-6),
    rejection: typical(rng, 1e-3),
  };
}

/**
 * Draws the shared parts of a strip.
 *
 * @param place 0 at the far end of the desk to 1 beside the mains transformer
 */
export function drawChannel(rng: Rng, place: number): ChannelValues {
  return {
    supply: localSupply(rng),
    magneticV: typical(rng, 1e-6) * (1 + 2 * place ** 2),
    lowCut: "out",
    equaliser: "out",
    driveOhm: resistor(rng, 1000),
    shuntFarad: filmFarad(rng, 100e-12),
    summingOhm: resistor(rng, 10_000),
  };
}

/**
 * Draws an input of a strip and sets its knobs to their marks, as accurately as a hand does.
 *
 * @param rng parts
 * @param hand settings
 */
export function drawPath(rng: Rng, hand: Rng, input: string, channel: ChannelValues): PathValues {
  const design = designOf(input);
  const cable: Cable = { commonV: typical(rng, design.commonV), differentialV: 0 };
  const feedbackOhm = resistor(rng, design.feedbackOhm);
  const asDrawn: PathValues = {
    ...channel,
    padGain: design.padGain,
    hot: leg(rng, design.sourceOhm, design.shuntOhm),
    cold: leg(rng, design.sourceOhm, design.shuntOhm),
    wiring: "straight",
    cable,
    jack: { wornOhm: 0, filmV: 0 },
    receiver: design.receiver(rng),
    gain: {
      feedbackOhm,
      legOhm: feedbackOhm,
      legCapacitor: electrolytic(rng, design.legFarad),
      amplifier: {
        ...calm,
        gainBandwidthHz: typical(rng, design.gainBandwidthHz),
        noiseV: deviceNoise(rng, design.noiseV),
        flickerHz: typical(rng, design.flickerHz),
        second: typical(rng, design.second),
        third: typical(rng, design.third),
      },
    },
    wiper: { depth: 0, crackleV: 0 },
    coupling: electrolytic(rng, 6.8e-6),
    leakage: { ohm: Number.POSITIVE_INFINITY, biasV: couplingBiasV },
    contact: { contactOhm: 0.05, strayOhm: 56e6, loadOhm: 10_000, filmV: 0, flutter: 0 },
    faderDb: offTheMarkDb(hand),
    offsetV: 0,
  };
  return setGain(asDrawn, offTheMarkDb(hand));
}

/** Turns the gain control until the level inside the strip is nominal plus an offset in dB. */
export function setGain(values: PathValues, offDb: number): PathValues {
  const before = values.padGain * Math.abs(legGains(values).differential);
  const driven = values.summingOhm / (values.summingOhm + values.driveOhm);
  const wanted = factorOfDb(stripDbu - outputDbu + offDb) / (before * driven);
  return { ...values, gain: { ...values.gain, legOhm: values.gain.feedbackOhm / (wanted - 1) } };
}

/** Draws the summing and output stage of a desk with a number of strips. */
export function drawMaster(rng: Rng, strips: number): MasterValues {
  return {
    summingFeedbackOhm: resistor(rng, 10_000),
    busOhm: 11_000 / strips,
    summingNoiseV: deviceNoise(rng, 2.5e-9),
    outputGain: factorOfDb(outputDbu - stripDbu),
    amplifier: {
      ...calm,
      gainBandwidthHz: typical(rng, 10e6),
      noiseV: deviceNoise(rng, 5e-9),
      flickerHz: typical(rng, 50),
      second: typical(rng, 6.5e-6),
      third: typical(rng, 4.2e-6),
    },
    outputOhm: resistor(rng, 50),
    coupling: electrolytic(rng, 22e-6),
    supply: localSupply(rng),
    magneticV: 2e-6,
  };
}

/** DC voltage of the stages after the coupling capacitor, volts; op amps have a few millivolts. */
export function drawOffset(rng: Rng): number {
  return 2e-3 * gaussian(rng);
}

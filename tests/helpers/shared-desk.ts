import type { Measurement, Reading } from "../../src/measure/types.js";
import type { PlacedInput } from "../../src/rank/shared/types.js";

/** Deviates of a standard normal, the same for the same seed (mulberry32, Box and Muller). */
export function createDeviates(seed: number): () => number {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}

/** Usual readings of an input and their standard deviations among healthy strips. */
const usual: Readonly<Record<string, readonly [mean: number, deviation: number]>> = {
  level: [-18, 0.15],
  gain: [0, 0.15],
  hiss: [-104, 0.4],
  noise: [-103.5, 0.5],
  humOdd: [-115, 2],
  humEven: [-128, 2],
  thd: [-90, 0.8],
  thdHot: [-74, 0.8],
  compression: [0, 0.01],
};

/** What is added to the readings of a path. */
export type Change = (path: {
  readonly strip: number;
  readonly input: string;
}) => Readonly<Record<string, number>>;

/** Decibels of two powers together, each in decibels. */
export const addPowers = (...levels: readonly number[]) =>
  10 * Math.log10(levels.reduce((sum, level) => sum + 10 ** (level / 10), 0));

/** A desk of readings drawn independently for each path, in the order of recording by input. */
export function drawDesk(
  seed: number,
  strips: number,
  inputs: readonly string[],
  change: Change = () => ({}),
): readonly PlacedInput[] {
  const deviate = createDeviates(seed);
  return inputs.flatMap((input) =>
    Array.from({ length: strips }, (_, i): PlacedInput => {
      const strip = i + 1;
      const offDb = usual.gain[1] * deviate();
      const more = change({ strip, input });
      const readings: Record<string, Reading> = {};
      for (const [id, [mean, deviation]] of Object.entries(usual)) {
        const own = id === "gain" || id === "level" ? offDb : deviation * deviate();
        const amplified = input === "mic" && id === "hiss" ? 6 : 0;
        const value = mean + amplified + own + (more[id] ?? 0);
        const unit = id === "level" || /^(h|noise)/.test(id) ? "dBFS" : "dB";
        readings[id] = { value, unit, uncertainty: 0.1 };
      }
      const measurement: Measurement = { readings, absent: {}, curves: {} };
      return { path: `${strip}/${input}`, strip: `${strip}`, input, family: input, measurement };
    }),
  );
}

export const stripNames = (count: number) => Array.from({ length: count }, (_, i) => `${i + 1}`);

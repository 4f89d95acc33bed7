import type { Control, Symptom } from "../notebook/note-vocabulary.js";
import type { Entry } from "../notebook/types.js";

/** What a note says, in words of the trade, whether it was told by options or in free text. */
export interface NoteMeaning {
  readonly control?: Control;
  readonly symptom?: Symptom;
  /** Causes that give such a symptom, the likeliest first (common practice). */
  readonly causes: readonly string[];
}

const causesOf: Readonly<Record<Symptom, readonly string[]>> = {
  scratch: ["worn-gain-control", "leaky-capacitor", "dirty-contact"],
  crackle: ["dirty-contact", "worn-gain-control", "leaky-capacitor", "noisy-device"],
  dropout: ["dirty-contact", "no-signal"],
  dead: ["no-signal", "dirty-contact"],
  intermittent: ["dirty-contact", "no-signal"],
  hum: ["ground-hum", "supply-ripple", "open-leg"],
  buzz: ["ground-hum", "supply-ripple"],
  hiss: ["noisy-device"],
  distorted: ["early-clipping", "crossover-distortion", "dirty-contact", "oscillation"],
  "clips-early": ["early-clipping", "supply-rail-off"],
  quiet: ["open-leg", "dirty-contact", "worn-gain-control", "gain-off"],
  loud: ["gain-off", "worn-gain-control"],
  thin: ["dried-coupling-capacitor", "dried-gain-leg-capacitor", "open-leg"],
  dull: ["high-loss"],
  unsteady: ["dirty-contact", "worn-gain-control"],
  whistle: ["oscillation"],
  pop: ["leaky-capacitor", "dirty-contact"],
  crosstalk: [],
  stuck: [],
  loose: [],
  dark: [],
};

/** What a fault of a control asks for, where the symptom alone does not say it. */
const causesOfControl: Partial<Record<Control, readonly string[]>> = {
  gain: ["worn-gain-control"],
  phantom: ["phantom-supply-off"],
  polarity: ["dirty-contact"],
  pad: ["dirty-contact"],
  "low-cut": ["dirty-contact"],
  insert: ["dirty-contact"],
  mute: ["dirty-contact"],
  solo: ["dirty-contact"],
  routing: ["dirty-contact"],
  "input-switch": ["dirty-contact"],
};

/** Words of free text that mean a symptom; the first that fits counts. */
const symptomWords: readonly (readonly [RegExp, Symptom])[] = [
  [/scratch/i, "scratch"],
  [/crackl|crunch/i, "crackle"],
  [/drop.?out|cuts? out|drops? out/i, "dropout"],
  [/\b(dead|silent|nothing|no (signal|sound|output))\b/i, "dead"],
  [/comes and goes|intermittent|sometimes|now and then|when (touched|wiggled)/i, "intermittent"],
  [/\bhum(s|ming)?\b/i, "hum"],
  [/\bbuzz/i, "buzz"],
  [/\bhiss|\bnois[ey]/i, "hiss"],
  [/clips? early|no headroom/i, "clips-early"],
  [/distort|fuzz|harsh/i, "distorted"],
  [/\b(quiet|weak|low level|level (is )?low)/i, "quiet"],
  [/\b(too )?loud\b(?! pop)/i, "loud"],
  [/\bthin\b|no bass|bass (is )?missing/i, "thin"],
  [/\bdull\b|no (top|treble)/i, "dull"],
  [/unsteady|unstable|wander|flutter/i, "unsteady"],
  [/whistl|oscillat/i, "whistle"],
  [/\bpops?\b|\bclick/i, "pop"],
  [/crosstalk|bleed|leaks into/i, "crosstalk"],
  [/\bstuck|\bstiff/i, "stuck"],
  [/\bloose|wobbl/i, "loose"],
  [/\b(lamp|led|light) (is )?(dead|out|dark)/i, "dark"],
];

const controlWords: readonly (readonly [RegExp, Control])[] = [
  [/phantom|\b48 ?v\b/i, "phantom"],
  [/\bgain\b|\btrim\b/i, "gain"],
  [/\bpad\b/i, "pad"],
  [/polarity|phase (switch|button)/i, "polarity"],
  [/low.?cut|high.?pass/i, "low-cut"],
  [/\beq\b|equali[sz]er/i, "equaliser"],
  [/insert/i, "insert"],
  [/\bsend\b|\baux/i, "send"],
  [/\bpan\b/i, "pan"],
  [/fader/i, "fader"],
  [/\bmute/i, "mute"],
  [/\bsolo/i, "solo"],
  [/routing|\bassign/i, "routing"],
  [/\bmeter\b/i, "meter"],
  [/\blamp|\bled\b/i, "lamp"],
  [/socket|\bplug\b|connector/i, "socket"],
];

/** What a note of a fault means; the free text is only looked at where no option said it. */
export function interpretNote({ line }: Entry): NoteMeaning {
  if (line.kind !== "fault") return { causes: [] };
  const { text } = line;
  const find = <W>(words: readonly (readonly [RegExp, W])[]): W | undefined =>
    words.find(([pattern]) => pattern.test(text))?.[1];
  const control = line.control ?? find(controlWords);
  const symptom = line.symptom ?? find(symptomWords);
  const own = control === undefined ? [] : (causesOfControl[control] ?? []);
  const causes = [...own, ...(symptom === undefined ? [] : causesOf[symptom])];
  return {
    ...(control === undefined ? {} : { control }),
    ...(symptom === undefined ? {} : { symptom }),
    causes: [...new Set(causes)],
  };
}

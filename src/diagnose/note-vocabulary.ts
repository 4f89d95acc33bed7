/**
 * What can be at fault from the outside, in words of the trade, and the words of free text that
 * mean it; the first that fits counts.
 */
const controlWords = {
  phantom: /phantom|\b48 ?v\b/i,
  gain: /\bgain\b|\btrim\b/i,
  pad: /\bpad\b/i,
  polarity: /polarity|phase (switch|button)/i,
  "low-cut": /low.?cut|high.?pass/i,
  equaliser: /\beq\b|equali[sz]er/i,
  insert: /insert/i,
  send: /\bsend\b|\baux/i,
  pan: /\bpan\b/i,
  fader: /fader/i,
  mute: /\bmute/i,
  solo: /\bsolo/i,
  routing: /routing|\bassign/i,
  "input-switch": undefined,
  meter: /\bmeter\b/i,
  lamp: /\blamp|\bled\b/i,
  socket: /socket|\bplug\b|connector/i,
} as const;

export type Control = keyof typeof controlWords;

/** In the order in which they are offered. */
export const controls = [
  "gain",
  "pad",
  "phantom",
  "polarity",
  "low-cut",
  "equaliser",
  "insert",
  "send",
  "pan",
  "fader",
  "mute",
  "solo",
  "routing",
  "input-switch",
  "meter",
  "lamp",
  "socket",
] as const satisfies readonly Control[];

/** What is heard or seen, and the words of free text that mean it; the first that fits counts. */
const symptomWords = {
  scratch: /scratch/i,
  crackle: /crackl|crunch/i,
  dropout: /drop.?out|cuts? out|drops? out/i,
  dark: /\b(lamp|led|light) (is )?(dead|out|dark)/i,
  dead: /\b(dead|silent|nothing|no (signal|sound|output))\b/i,
  intermittent: /comes and goes|intermittent|sometimes|now and then|when (touched|wiggled)/i,
  hum: /\bhum(s|ming)?\b/i,
  buzz: /\bbuzz/i,
  hiss: /\bhiss|\bnois[ey]/i,
  "clips-early": /clips? early|no headroom/i,
  distorted: /distort|fuzz|harsh/i,
  quiet: /\b(quiet|weak|low level|level (is )?low)/i,
  loud: /\b(too )?loud\b(?! pop)/i,
  thin: /\bthin\b|no bass|bass (is )?missing/i,
  dull: /\bdull\b|no (top|treble)/i,
  unsteady: /unsteady|unstable|wander|flutter/i,
  whistle: /whistl|oscillat/i,
  pop: /\bpops?\b|\bclick/i,
  crosstalk: /crosstalk|bleed|leaks into/i,
  stuck: /\bstuck|\bstick(s|ing)?\b|\bstiff/i,
  loose: /\bloose|wobbl/i,
} as const;

export type Symptom = keyof typeof symptomWords;

/** In the order in which they are offered. */
export const symptoms = [
  "scratch",
  "crackle",
  "dropout",
  "dead",
  "intermittent",
  "hum",
  "buzz",
  "hiss",
  "distorted",
  "clips-early",
  "quiet",
  "loud",
  "thin",
  "dull",
  "unsteady",
  "whistle",
  "pop",
  "crosstalk",
  "stuck",
  "loose",
  "dark",
] as const satisfies readonly Symptom[];

/** Characters of a note's free text. */
export const maxNoteLength = 20_000;

/** The control that a free text speaks of. */
export function findControl(text: string): Control | undefined {
  return findWord(controlWords, text);
}

/** The symptom that a free text speaks of. */
export function findSymptom(text: string): Symptom | undefined {
  return findWord(symptomWords, text);
}

function findWord<W extends string>(
  words: Readonly<Record<W, RegExp | undefined>>,
  text: string,
): W | undefined {
  return (Object.keys(words) as W[]).find((word) => words[word]?.test(text));
}

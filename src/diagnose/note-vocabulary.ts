/**
 * Controls and parts that can be seen to be faulty, in words of the trade, in the order in which
 * they are offered.
 */
export const controls = [
  "gain",
  "pad",
  "phantom",
  "polarity",
  "low-cut",
  "equaliser",
  "dynamics",
  "insert",
  "send",
  "pan",
  "fader",
  "mute",
  "solo",
  "routing",
  "input-switch",
  "direct-out",
  "meter",
  "lamp",
  "socket",
] as const;

export type Control = (typeof controls)[number];

/** What is heard or seen, in the order in which it is offered. */
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
] as const;

export type Symptom = (typeof symptoms)[number];

/** Most characters in the free text of a note. */
export const maxNoteLength = 20_000;

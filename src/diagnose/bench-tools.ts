/** Something to have ready besides parts: a tool, a lead, a load, a source (common practice). */
interface BenchTool {
  /** Its wording in the list of things to have ready. */
  readonly words: string;
  /** Frequency of a steady tone, hertz. */
  readonly toneHz?: number;
}

const tools = {
  multimeter: {
    words: "multimeter with insulated probes, and a fresh battery to check it with",
  },
  "capacitance meter": { words: "capacitance meter" },
  "ac voltmeter": {
    words: "AC voltmeter that reads from 20 Hz to 20 kHz (many multimeters do not)",
  },
  oscilloscope: { words: "oscilloscope with a 10:1 probe" },
  "listening probe": {
    words:
      "listening probe: an insulated probe with 1 µF, 100 V film in series, into a headphone amplifier turned down",
  },
  extender: {
    words: "extender for the strip, if its board cannot be reached in the desk",
  },
  "recording set-up": {
    words: "the computer with the interface, the pad box and the round's test signal",
  },
  "good cable": { words: "a known good cable for that input" },
  "patch cord": { words: "a known good patch cord" },
  "pin adapter": { words: "plug or adapter that brings out pins 1, 2 and 3" },
  "phantom load": {
    words: "dummy load for phantom power: a plug with 1.4 kΩ, 0.5 W from pins 2 and 3 to pin 1",
  },
  "noise source": { words: "a source of noise" },
  source: { words: "a source that certainly works" },
  "insulated rod": { words: "dry insulated rod" },
  lens: { words: "lens and lamp" },
  thermometer: { words: "infrared thermometer" },
  "burnishing strip": { words: "burnishing strip for contacts" },
  "tone 30 Hz": { words: "30 Hz tone", toneHz: 30 },
  "tone 1 kHz": { words: "1 kHz tone", toneHz: 1000 },
  "tone 15 kHz": { words: "15 kHz tone", toneHz: 15_000 },
} as const satisfies Readonly<Record<string, BenchTool>>;

export type BenchToolId = keyof typeof tools;

/** In the order in which they are listed. */
export const benchToolIds = Object.keys(tools) as readonly BenchToolId[];

/**
 * What a step may need besides parts.
 *
 * @example
 * getBenchTool("tone 30 Hz").toneHz; // 30
 */
export function getBenchTool(id: BenchToolId): BenchTool {
  return tools[id];
}

import type { SignalReturn } from "../../src/capture/types.js";
import { listDeskPaths } from "../../src/desk/paths.js";
import type { DeskPath } from "../../src/desk/types.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";

/** Paths of a desk without groups, one input after the other. */
export function desk(strips: readonly string[], inputs: readonly string[]): readonly DeskPath[] {
  const named = inputs.map((name) => ({ name }));
  return listDeskPaths({ strips, inputs: named, order: "by-input", groups: new Map() });
}

export function numbered(count: number): readonly string[] {
  return Array.from({ length: count }, (_, k) => String(k + 1));
}

export const quickS = buildSignalTable("quick", "base").lengthS;

/** A return of the quick signal that begins at a time in a capture of 48 kHz. */
export function returnAt(file: string, startS: number, channel = 0): SignalReturn {
  return {
    file,
    channel,
    startSample: startS * 48_000,
    lengthSamples: quickS * 48_000,
    driftPpm: 0,
    profile: "quick",
    band: "base",
    signalVersion: 1,
    inverted: false,
    likeness: 1,
    gain: 1,
  };
}

/** Returns in one file, each half a second after the one before. */
export function returnsIn(file: string, count: number): readonly SignalReturn[] {
  return Array.from({ length: count }, (_, k) => returnAt(file, 1 + k * (quickS + 0.5)));
}

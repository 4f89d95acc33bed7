import type { Segment } from "../../signal/types.js";

/**
 * A part of the test signal in plain words.
 *
 * @example
 * nameSegment(buildSignalTable("quick", "base").segments[1]); // "silence"
 */
export function nameSegment(segment: Segment | "controls-pass"): string {
  if (segment === "controls-pass") return "controls pass";
  switch (segment.kind) {
    case "marker":
      return `${segment.which} marker`;
    case "tone":
      return `${formatHertz(segment.frequencyHz)} tone`;
    case "twin":
      return "twin tone";
    case "steps":
      return "level steps";
    default:
      return segment.kind;
  }
}

function formatHertz(hertz: number): string {
  return hertz < 1000 ? `${hertz} Hz` : `${hertz / 1000} kHz`;
}

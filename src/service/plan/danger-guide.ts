import { commonPractice, onBench, unplugged } from "../../diagnose/bench.js";
import type { RepairGuide } from "./repair-guide.js";

/** Prefix of items raised by a note of a danger: `danger-n5`. */
const dangerPrefix = "danger-";

/** The cause of an item raised by a note of a danger. */
export function formatDangerCause(note: string): string {
  return `${dangerPrefix}${note}`;
}

/** Whether an item's cause is a danger that was noted. */
export function isDangerCause(cause: string): boolean {
  return cause.startsWith(dangerPrefix);
}

/** Guide for something that smoked, smelt, got hot or leaked: no step under power. */
export const dangerGuide: RepairGuide = {
  settle: unplugged(
    "with the desk off, unplugged and discharged, look for anything burnt, discoloured, bulging, wet or loose, on both sides of the board and at its connectors; touch nothing that is hot or wet",
  ),
  steps: [
    unplugged(
      "Measure the resistance from each rail to ground, and across fuses and feed resistors, and compare with a sibling: a few ohms are a short",
      undefined,
      ["multimeter"],
    ),
    onBench(
      "Lift the decoupling capacitors and op amps one at a time, tantalums first, until the short is gone. Rinse what is wet with pure isopropyl alcohol, away from sparks and flames, and let it dry for a day",
      "liquid from a burst capacitor or a battery burns skin and eyes: wear gloves and glasses",
      ["multimeter"],
    ),
  ],
  repair:
    "Replace the part that failed and what it overheated. Do not switch power on again until the resistances match a sibling's; then watch the strip and keep a hand on the mains switch.",
  parts: [],
  minutes: 45,
  risks: [
    "leave a fault in the supply, the mains wiring or the protective earth to licensed people, under local codes",
  ],
  place: "strip",
  source: commonPractice,
};

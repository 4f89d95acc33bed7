import { type BenchRecord, cleanerRisk, commonPractice, unplugged } from "./bench.js";

/**
 * Bench work for a switch that leaves something in the signal path that should be out of it.
 *
 * @param which completes "across the contacts of …"
 * @example
 * buildSwitchBench("the pad switch").steps[0].power; // "unplugged"
 */
export function buildSwitchBench(which: string): BenchRecord {
  return {
    steps: [
      unplugged(
        `With the desk off, unplugged and discharged, measure the resistance across the contacts of ${which} in both positions, and compare with a sibling`,
        undefined,
        ["multimeter"],
      ),
    ],
    repair: "Clean the switch; replace it if it does not switch over.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "switch", count: 1 },
    ],
    minutes: 25,
    risks: cleanerRisk,
    source: commonPractice,
  };
}

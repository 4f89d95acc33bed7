import type { BenchRecord, BenchStep } from "../../diagnose/bench.js";

/** How to repair an item: the check that confirms it, and its bench record. */
export interface RepairGuide extends BenchRecord {
  readonly settle: BenchStep;
}

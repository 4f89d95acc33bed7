import type { BenchRecord, BenchStep } from "../../diagnose/bench.js";

/** What an item asks for: the check that settles it, and its bench record. */
export interface RepairGuide extends BenchRecord {
  readonly settle: BenchStep;
}

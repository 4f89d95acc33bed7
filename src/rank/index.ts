/** Paths compared with their siblings: statistics, findings and severity. */
export { type Batches, findBatches } from "./batches.js";
export {
  computeFamilyStats,
  type FamilyStats,
  groupFamilies,
  type PathToRank,
} from "./family-stats.js";
export { type RankedPath, rankPaths } from "./rank.js";
export { computeScatter, type Scatter, scoreDeviation } from "./robust-stats.js";
export type { Finding, Observation, Severity } from "./types.js";

/** Causes: what is known about each, and how likely it is for a ranked path. */
export { type CauseId, causeKinds, findCause, getCauseName } from "./causes.js";
export { diagnosePath, type Explanation, explainPath } from "./diagnose.js";
export type { Evidence, EvidenceLine } from "./evidence.js";
export type { PathReference } from "./path-evidence.js";
export type { Cause } from "./types.js";

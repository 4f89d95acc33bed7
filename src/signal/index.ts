/** The test signal: its segments, how it is synthesised, how it is written. */
export { DeskroundError } from "../errors.js";
export {
  bands,
  buildSignalTable,
  chooseBand,
  getProfileVersion,
  nominalDbfs,
  profiles,
  sampleRates,
} from "./signal-table.js";
export {
  encodeCaptureWav,
  encodeSignalWav,
  formatSignalId,
  type SignalFormat,
  signalFormats,
} from "./signal-wav.js";
export { synthesise } from "./synthesise.js";
export type { Profile, Segment, SignalBand, SignalTable } from "./types.js";

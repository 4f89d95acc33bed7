/** From recordings to returns: contents of a file, positions of returns, their samples. */
export { DeskroundError } from "../errors.js";
export { checksumFile } from "./checksum.js";
export { inspectRecording } from "./containers/inspect-recording.js";
export { openSamples } from "./containers/open-samples.js";
export type { SampleReader } from "./containers/sample-reader.js";
export { findReturns, type SearchResult } from "./find/find-returns.js";
export { buildReturnTable } from "./find/return-table.js";
export { findEmbeddedSignal, readSignalFile } from "./signal-file.js";
export { type ReturnSamples, sliceReturn } from "./slice-return.js";
export type { RecordingInfo, SignalReturn } from "./types.js";

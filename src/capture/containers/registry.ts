import { type RecordingKind, recordingKinds } from "../../desk/recording-kinds.js";
import { aiff } from "./aiff/aiff.js";
import type { Container } from "./container.js";
import { flac } from "./flac/flac.js";
import { wav } from "./wav/wav.js";

/** The container for each kind of file. */
const byKind: Readonly<Record<RecordingKind, Container>> = { WAV: wav, FLAC: flac, AIFF: aiff };

/** All containers, in the order used in messages. */
export const containers: readonly Container[] = recordingKinds.map(({ name }) => byKind[name]);

/**
 * The container for one kind of file.
 *
 * @example
 * getContainer("FLAC").name; // "FLAC"
 */
export function getContainer(kind: RecordingKind): Container {
  return byKind[kind];
}

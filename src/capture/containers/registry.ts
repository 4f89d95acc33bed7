import { type RecordingKind, recordingKinds } from "../../desk/recording-kinds.js";
import { aiff } from "./aiff/aiff.js";
import type { Container } from "./container.js";
import { flac } from "./flac/flac.js";
import { wav } from "./wav/wav.js";

/** What reads each kind of file. */
const byKind: Readonly<Record<RecordingKind, Container>> = { WAV: wav, FLAC: flac, AIFF: aiff };

/** All of them, in the order in which messages name them. */
export const containers: readonly Container[] = recordingKinds.map(({ name }) => byKind[name]);

/**
 * What reads the files of one kind.
 *
 * @example
 * getContainer("FLAC").name; // "FLAC"
 */
export function getContainer(kind: RecordingKind): Container {
  return byKind[kind];
}

import { aiff } from "./aiff/aiff.js";
import type { Container } from "./container.js";
import { flac } from "./flac/flac.js";
import { wav } from "./wav/wav.js";

/** All kinds of file that are read, in the order in which messages name them. */
export const containers: readonly Container[] = [wav, flac, aiff];

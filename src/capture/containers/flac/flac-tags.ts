import type { RecordingInfo } from "../../types.js";
import type { Chunk } from "../chunks/list-chunks.js";
import type { OpenFile } from "../open-file.js";
import { readCuePoints } from "../wav/inspect-wav.js";
import { maxBextBytes, readBext } from "../wav/metadata-chunks.js";
import { blockType, type MetadataBlock, mostCommentBytes, readComments } from "./flac-metadata.js";

/**
 * Metadata of a FLAC file. Chunks of the original WAV file, which some encoders keep in separate
 * blocks, are read as in a WAV file; without them, Vorbis comments that other programs make from
 * `bext` are used.
 *
 * @example
 * const source = openFile(recording);
 * readTags(source, listBlocks(source).blocks).cues; // []
 * source.close();
 */
export function readTags(
  source: OpenFile,
  blocks: readonly MetadataBlock[],
): Pick<RecordingInfo, "bext" | "cues"> {
  const chunks = keptChunks(source, blocks);
  const bext = chunks.find(({ id }) => id === "bext");
  if (bext !== undefined) {
    const bytes = contents(source, bext.offset, Math.min(bext.size, maxBextBytes));
    return { bext: readBext(bytes), cues: readCuePoints(source, chunks) };
  }
  const comments = blocks.find(({ type }) => type === blockType.comments);
  const fromComments = comments === undefined ? undefined : bextOf(source, comments);
  return {
    ...(fromComments === undefined ? {} : { bext: fromComments }),
    cues: readCuePoints(source, chunks),
  };
}

/** RIFF chunks, each in an `APPLICATION` block named `riff`, as the FLAC format registers it. */
function keptChunks(source: OpenFile, blocks: readonly MetadataBlock[]): readonly Chunk[] {
  return blocks.flatMap(({ type, offset, size }): readonly Chunk[] => {
    if (type !== blockType.application || size < 12) return [];
    const head = contents(source, offset, 12);
    const text = Buffer.from(head).toString("latin1");
    if (text.slice(0, 4) !== "riff") return [];
    const promised = new DataView(head.buffer).getUint32(8, true);
    return [{ id: text.slice(4, 8), offset: offset + 12, size: Math.min(promised, size - 12) }];
  });
}

/** Undefined if the comments hold none of the fields of `bext`. */
function bextOf(source: OpenFile, { offset, size }: MetadataBlock): RecordingInfo["bext"] {
  const comments = readComments(contents(source, offset, Math.min(size, mostCommentBytes)));
  const bext = {
    description: comments.get("description") ?? "",
    originator: comments.get("originator") ?? comments.get("encoded_by") ?? "",
    originatorReference: comments.get("originator_reference") ?? "",
  };
  const time = Number(comments.get("time_reference"));
  const hasTime = Number.isSafeInteger(time) && time > 0;
  if (!hasTime && Object.values(bext).every((text) => text === "")) return undefined;
  return { ...bext, ...(hasTime ? { timeReference: time } : {}) };
}

function contents(source: OpenFile, offset: number, size: number): Uint8Array {
  const bytes = new Uint8Array(size);
  return bytes.subarray(0, source.readInto(bytes, offset));
}

import { formatRecordingKinds } from "../../desk/recording-kinds.js";
import { DeskroundError } from "../../errors.js";
import type { RecordingInfo } from "../types.js";
import { isTaggedFlac } from "./flac/tagged-flac.js";
import { type OpenFile, openFile, toDisplayName } from "./open-file.js";
import { containers } from "./registry.js";

/** Bytes needed to recognise a kind of file. */
const headBytes = 12;

/**
 * Reads the header of a recording: a few positioned reads, whatever the file's length.
 *
 * @param file of any kind in the registry, whatever its name
 *
 * @returns contents as far as actually present
 * @throws DeskroundError `no-such-file`, `not-a-recording`, `recording-damaged`,
 *   `recording-unsupported`
 *
 * @example
 * inspectRecording(recording).sampleRate; // 44100
 */
export function inspectRecording(file: string): RecordingInfo {
  const source = openFile(file);
  try {
    const head = new Uint8Array(Math.min(headBytes, source.size));
    source.readInto(head, 0);
    const container = containers.find((one) => one.isOne(head));
    if (container === undefined) throw notOne(source, head);
    return container.inspect(source);
  } finally {
    source.close();
  }
}

function notOne(source: OpenFile, head: Uint8Array): DeskroundError {
  const { file, size } = source;
  const name = toDisplayName(file);
  if (size === 0) {
    const again = "Record or copy it again.";
    return new DeskroundError("not-a-recording", `${name}: the file is empty.`, again);
  }
  if (isTaggedFlac(source, head)) {
    return new DeskroundError(
      "not-a-recording",
      `${name}: is FLAC after an ID3 tag, which FLAC does not allow.`,
      "Save it again without ID3 tags, as FLAC or WAV.",
    );
  }
  const kinds = formatRecordingKinds();
  return new DeskroundError(
    "not-a-recording",
    `${name}: begins with ${beginning(head)}, which is not a ${kinds} file.`,
    `Save the recording as ${kinds}: integers of 16 bits or more, or float.`,
  );
}

/** The first bytes of a file as people can read them. */
function beginning(head: Uint8Array): string {
  const text = (from: number, to: number) =>
    Buffer.from(head.subarray(from, to)).toString("latin1");
  const printable =
    text(0, 4)
      .match(/^[\x20-\x7e]+/)?.[0]
      .trimEnd() ?? "";
  if (/^(RIFF|FORM)$/.test(printable) && head.length === headBytes) {
    const form = text(8, 12);
    if (/^[\x20-\x7e]{4}$/.test(form)) return `${printable} and ${form.trimEnd()}`;
  }
  if (printable.length >= 2) return `\`${printable}\``;
  const hex = Array.from(head.subarray(0, 4), (b) => b.toString(16).padStart(2, "0"));
  return `the bytes ${hex.join(" ")}`;
}

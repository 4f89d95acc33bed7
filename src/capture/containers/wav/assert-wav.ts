import { DeskroundError } from "../../../errors.js";
import { type OpenFile, toDisplayName } from "../open-file.js";
import { decodeLatin1 } from "./chunk-headers.js";

/**
 * Checks the first twelve bytes of a file.
 *
 * @throws DeskroundError `not-wav`, `wav-unsupported`
 */
export function assertWav(source: OpenFile): void {
  const name = toDisplayName(source.file);
  if (source.size === 0) {
    throw new DeskroundError("not-wav", `${name}: the file is empty.`, "Record or copy it again.");
  }
  const bytes = new Uint8Array(Math.min(12, source.size));
  source.readInto(bytes, 0);
  const container = decodeLatin1(bytes, 0, 4);
  if (bytes.length === 12 && decodeLatin1(bytes, 8, 12) === "WAVE") {
    if (container === "RIFF" || container === "RF64" || container === "BW64") return;
    if (container === "RIFX") {
      const hint = "Save it as an ordinary (little-endian) WAV file.";
      throw new DeskroundError(
        "wav-unsupported",
        `${name}: is a big-endian WAV file (RIFX).`,
        hint,
      );
    }
  }
  const hint = "Save the recording as WAV: PCM of 16, 24 or 32 bits, or float.";
  throw new DeskroundError(
    "not-wav",
    `${name}: begins with ${beginning(bytes)}, which is not a WAV file.`,
    hint,
  );
}

/** The first bytes of a file as people can read them. */
function beginning(bytes: Uint8Array): string {
  const printable =
    decodeLatin1(bytes, 0, 4)
      .match(/^[\x20-\x7e]+/)?.[0]
      .trimEnd() ?? "";
  if (printable === "RIFF" && bytes.length === 12) {
    const form = decodeLatin1(bytes, 8, 12);
    if (/^[\x20-\x7e]{4}$/.test(form)) return `RIFF and ${form.trimEnd()}`;
  }
  if (printable.length >= 2) return `\`${printable}\``;
  const hex = Array.from(bytes.subarray(0, 4), (b) => b.toString(16).padStart(2, "0"));
  return `the bytes ${hex.join(" ")}`;
}

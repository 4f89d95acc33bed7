import type { RecordingInfo } from "../types.js";
import { getContainer } from "./registry.js";
import type { SampleReader } from "./sample-reader.js";

/**
 * Opens the samples of an inspected file, and of the files that continue it, as one stream: a
 * return may begin in one and end in the next. Close the reader when done.
 *
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 * const block = new Float64Array(4096);
 * reader.read(0, 4096, 0, block); // 4096
 * reader.close();
 *
 * @throws DeskroundError `no-such-file`
 */
export async function openSamples(info: RecordingInfo): Promise<SampleReader> {
  if (info.continuedBy === undefined) return openFileSamples(info);
  const parts: { readonly reader: SampleReader; readonly from: number }[] = [];
  let frames = 0;
  const close = () => {
    for (const { reader } of parts) reader.close();
  };
  try {
    for (let part: RecordingInfo | undefined = info; part !== undefined; part = part.continuedBy) {
      parts.push({ reader: await openFileSamples(part), from: frames });
      frames += part.frames;
    }
  } catch (error) {
    close();
    throw error;
  }
  return {
    info,
    frames,
    get badSamples() {
      return parts.reduce((sum, { reader }) => sum + reader.badSamples, 0);
    },
    get isAltered() {
      return parts.some(({ reader }) => reader.isAltered);
    },
    read(firstFrame, count, channel, out) {
      let done = 0;
      for (const { reader, from } of parts) {
        const at = firstFrame + done - from;
        if (done >= count || at >= reader.frames) continue;
        done += reader.read(at, count - done, channel, out.subarray(done));
      }
      return done;
    },
    close,
  };
}

/** @returns the samples of one file, without those that continue it */
function openFileSamples(info: RecordingInfo): SampleReader | Promise<SampleReader> {
  return getContainer(info.container).openSamples(info);
}

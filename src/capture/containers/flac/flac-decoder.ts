/** Turns whole frames of FLAC into samples. */
export interface FlacDecoder {
  /**
   * Decodes one frame.
   *
   * @param frame the first of its stream, its checksums right: otherwise the library would insert
   * silence for missing frames
   *
   * @returns one array of integers per channel; undefined if the frame cannot be decoded
   */
  decode(frame: Uint8Array): readonly Float32Array[] | undefined;
}

/** The part of the library's decoder that is used: the inner one, which works in this thread. */
interface Decoded {
  readonly channelData: readonly Float32Array[];
  readonly samplesDecoded: number;
  readonly errors: readonly unknown[];
}

interface InnerDecoder {
  decodeFrames(frames: readonly Uint8Array[]): Decoded;
}

/** The library's types do not declare the inner decoder, so it is declared here. */
interface Library {
  readonly FLACDecoder: new () => {
    readonly ready: Promise<void>;
    readonly _decoder: InnerDecoder;
  };
}

const library: string = "@wasm-audio-decoders/flac";

/** The largest frame that the library takes in one piece. */
export const mostDecodableBytes = 65_535 * 8;

/**
 * Loads the decoder, libFLAC compiled to WebAssembly by @wasm-audio-decoders/flac, on first use:
 * only FLAC files cost that time. Every reader has its own decoder, because decoders have state.
 * The library's public functions return promises, although nothing is asynchronous once the decoder
 * is ready; samples are read here by synchronous numeric code. So the inner decoder is called in
 * the way the library's wrapper calls it. The version is pinned, and a test decodes with it.
 *
 * @param bits word length of the stream, up to 24
 * @example
 * const decoder = await createFlacDecoder(16);
 * // Nothing that can be decoded.
 * decoder.decode(new Uint8Array(16)); // undefined
 */
export async function createFlacDecoder(bits: number): Promise<FlacDecoder> {
  const { FLACDecoder }: Library = await import(library);
  const outer = new FLACDecoder();
  await outer.ready;
  const inner = outer._decoder;
  // Floats that the library divides by the largest integer; rounded, all 2^24 come back as they were.
  const largest = 2 ** (bits - 1) - 1;
  let hasFailed = false;
  return {
    decode(frame) {
      if (hasFailed) return undefined;
      let decoded: Decoded;
      try {
        decoded = silently(() => inner.decodeFrames([frame]));
      } catch {
        // WebAssembly that was interrupted cannot be trusted any more.
        hasFailed = true;
        return undefined;
      }
      const { channelData, samplesDecoded, errors } = decoded;
      if (samplesDecoded === 0 || errors.length > 0) return undefined;
      for (const samples of channelData) {
        for (let i = 0; i < samples.length; i++) samples[i] = Math.round(samples[i] * largest);
      }
      return channelData;
    },
  };
}

/** Keeps the library's errors off the console; the caller reports them. */
function silently<T>(work: () => T): T {
  const { error } = console;
  console.error = () => {};
  try {
    return work();
  } finally {
    console.error = error;
  }
}

import { DeskroundError } from "../../errors.js";

/** Bytes; far more than any note has. */
const largestPipe = 1_000_000;

/** Source of a note's text from a pipe. */
export interface PipedText {
  readonly stream?: NodeJS.ReadableStream;
  /** Seconds to wait for data; forever when absent. */
  readonly waitS?: number;
}

/**
 * Reads the text of a note from a pipe, verbatim except for the last line end.
 *
 * @throws DeskroundError `usage`: too much, or not in UTF-8
 */
export async function readPipedText({
  stream = process.stdin,
  waitS,
}: PipedText = {}): Promise<string> {
  const bytes = await readStream(stream, waitS);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes).replace(/\r?\n$/, "");
  } catch (error) {
    throw new DeskroundError(
      "usage",
      "What came through the pipe is not text in UTF-8.",
      "Nothing was noted.",
      error,
    );
  }
}

function readStream(stream: NodeJS.ReadableStream, waitS: number | undefined): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    // A stream that has ended, or was never open, emits no `end`.
    if ((stream as { readonly readableEnded?: boolean }).readableEnded) {
      resolve(Buffer.alloc(0));
      return;
    }
    const chunks: Buffer[] = [];
    let length = 0;
    const fail = (message: string, hint: string) => {
      clearTimeout(timer);
      stream.removeAllListeners("data");
      (stream as NodeJS.ReadableStream & { destroy?: () => void }).destroy?.();
      reject(new DeskroundError("usage", message, hint));
    };
    const late = () => {
      stream.removeAllListeners("data");
      (stream as NodeJS.ReadableStream & { destroy?: () => void }).destroy?.();
      resolve(Buffer.alloc(0));
    };
    const timer = waitS === undefined ? undefined : setTimeout(late, 1000 * waitS);
    stream.on("data", (chunk: Buffer | string) => {
      clearTimeout(timer);
      chunks.push(Buffer.from(chunk));
      length += chunk.length;
      if (length > largestPipe)
        fail("Too much came through the pipe to be a note.", "Nothing was noted.");
    });
    stream.on("end", () => {
      clearTimeout(timer);
      resolve(Buffer.concat(chunks));
    });
    stream.on("error", (error) => {
      clearTimeout(timer);
      reject(error);
    });
  });
}

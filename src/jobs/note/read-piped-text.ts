import { DeskroundError } from "../../errors.js";

/** No note comes near this, bytes. */
const largestPipe = 1_000_000;

/** Where the free text of a note is piped in. */
export interface PipedText {
  readonly stream?: NodeJS.ReadableStream;
  /** Seconds to wait if nothing comes; for ever if absent. */
  readonly waitS?: number;
}

/**
 * The free text of a note that comes through a pipe: to the letter, but for the last line end.
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
    // What has ended already, or was never open, ends no second time.
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

import type { OwnKind } from "../assert-own-file.js";

/** Originator in the signal's `bext` chunk: how its file is recognised. */
export const signalOriginator = "deskround";

/** Originator of a steady tone. */
export const toneOriginator = "deskround tone";

/** Originator of recordings rendered by the demo. */
export const demoOriginator = "deskround demo";

/** Files of the test signal. */
export const signalKind: OwnKind = {
  what: "test signal",
  isOwn: (head) => readOriginator(head) === signalOriginator,
};

/** Recordings rendered by the demo. */
export const demoCaptureKind: OwnKind = {
  what: "demo recording",
  isOwn: (head) => readOriginator(head) === demoOriginator,
};

/**
 * The originator in a `bext` chunk (EBU Tech 3285) if that is the first chunk, as in our own files.
 *
 * @example
 * readOriginator(Buffer.from(encodeDemoWav(new Float64Array(480), 48000)))?.includes("deskround"); // true
 */
export function readOriginator(head: Buffer): string | undefined {
  const text = head.toString("latin1");
  if (!/^RIFF[\s\S]{4}WAVEbext/.test(text)) return undefined;
  return text.slice(276, 308).replace(/\0+$/, "");
}

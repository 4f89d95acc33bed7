import type { ToneSheet } from "../service/tone-sheet.js";
import { formatCount } from "../text/format-count.js";
import { formatDbu, listSheetCautions } from "./sheet/phrases.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** How to play a steady tone, and what to do first. */
export function renderToneSheet(tone: ToneSheet, style: ReportStyle): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const { frequencyHz, levelDbfs, nominalDbfs, minutes, sampleRate, sockets } = tone;
  const more = Math.round(10 * (levelDbfs - nominalDbfs)) / 10;
  const against =
    more === 0
      ? "as loud as the tones of the test signal"
      : `${Math.abs(more)} dB ${more > 0 ? "louder" : "softer"} than the tones of the test signal`;
  const levels = sockets.map(({ input, dbu }) => `${input} ${formatDbu(dbu)}`).join(", ");
  return [
    strong(
      `TONE   ${frequencyHz} Hz, ${levelDbfs} dBFS, ${formatCount(minutes, "minute")}, ${sampleRate / 1000} kHz`,
    ),
    "",
    ...listSheetCautions(tone).flatMap((text) => wrapText(text, width, "  !  ", "     ")),
    "",
    ...wrapText(
      "Play it from one output of the interface, without processing, and let the player repeat it.",
      width,
    ),
    ...wrapText(
      `Patched and set as for the test signal, it is ${against}. At the sockets: ${levels}.`,
      width,
    ),
    ...wrapText(
      "Stop the tone before switching the desk on or off, and before patching anything.",
      width,
    ),
    "",
  ].join("\n");
}

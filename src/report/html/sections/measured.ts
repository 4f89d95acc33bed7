import type { RoundPath } from "../../../history/types.js";
import { formatSigned } from "../../../text/format-signed.js";
import { html, type Markup } from "../markup.js";
import { getBaseName } from "../names.js";
import { appendUnit } from "../values.js";
import type { PathView, View } from "../view.js";

/** Which recording a path's readings come from. */
export function renderMeasuredPart({ round }: View, { path }: PathView): Markup | undefined {
  const { take } = path;
  if (take === undefined) return undefined;
  const capture = round.captures.find(({ file }) => file === take.file);
  const atS = capture === undefined ? undefined : take.startSample / capture.sampleRate;
  const channel =
    take.partnerChannel === undefined
      ? `channel ${take.channel + 1}`
      : `channels ${take.channel + 1} and ${take.partnerChannel + 1}`;
  const format =
    capture === undefined
      ? ""
      : `, ${capture.sampleRate / 1000} kHz, ${capture.bits} bit${atS === undefined ? "" : `, from ${formatMoment(atS)}`}`;
  const number = take.number === undefined ? "" : ` Take ${take.number} of ${takes(path)}.`;
  const drift = appendUnit(formatSigned(take.driftPpm.toFixed(1)), "ppm");
  return html`<h4>How it was measured</h4><p class="how">${getBaseName(take.file)}, ${channel}${format}.${number} The recorder's clock relative to the player's: ${drift}. Signal ${round.signal.profile}, version ${round.signal.version}.</p>${otherTakes(path)}`;
}

/** Takes that do not count, and what is wrong with them. */
function otherTakes({ otherTakes: others = [] }: RoundPath): Markup | undefined {
  if (others.length === 0) return undefined;
  return html`<ul class="absent">${others.map(
    ({ number, file, status, reason }) =>
      html`<li>Take ${number}, ${getBaseName(file)}: ${status === "unusable" ? "unusable" : "measured too"}${reason === undefined ? "" : `, ${reason}`}</li>`,
  )}</ul>`;
}

function takes({ otherTakes = [] }: RoundPath): number {
  return otherTakes.length + 1;
}

/** Minutes and seconds into a capture. */
export function formatMoment(seconds: number): string {
  const minutes = Math.floor(seconds / 60);
  const rest = (seconds - 60 * minutes).toFixed(1).padStart(4, "0");
  return `${minutes}:${rest}`;
}

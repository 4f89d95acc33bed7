import type { SittingEvent } from "../../sitting/sitting-events.js";
import { formatClock } from "../../text/format-clock.js";

/** Cells of the bar that shows how far the signal has come. */
const barCells = 20;

/**
 * What is heard at this moment, for the last line of a terminal: time, what plays, level, clipping.
 *
 * @param width columns
 */
export function renderSittingStatus(
  { now, segment, share }: Extract<SittingEvent, { readonly kind: "now" }>,
  width: number,
): string {
  const { atS, peakDbfs, atFullScale } = now;
  const filled = Math.round(barCells * (share ?? 0));
  const bar = share === undefined ? "" : ` ${"#".repeat(filled)}${"-".repeat(barCells - filled)}`;
  const level = Number.isFinite(peakDbfs)
    ? `peak ${peakDbfs.toFixed(0)} dBFS`.replace("-", "−")
    : "digital silence";
  const clip = atFullScale > 0 ? "  CLIPS: turn the interface down" : "";
  const parts = `${formatClock(atS)}  ${level}${clip}${bar}  ${segment ?? "waiting for the signal"}`;
  const keys = "   a again  s skip  n note  e end";
  return (parts.length + keys.length < width ? `${parts}${keys}` : parts).slice(0, width - 1);
}

import { toDisplayName } from "../../capture/containers/open-file.js";

/**
 * Where a return of a loopback is.
 *
 * @example
 * formatLoopPlace({ file: "loop.wav", atS: 3.02, channel: 1 }); // "loop.wav at 3.0 s, channel 2"
 */
export function formatLoopPlace({
  file,
  atS,
  channel,
}: {
  readonly file: string;
  readonly atS: number;
  /** From 0; set if the file has several. */
  readonly channel?: number;
}): string {
  const which = channel === undefined ? "" : `, channel ${channel + 1}`;
  return `${toDisplayName(file)} at ${atS.toFixed(1)} s${which}`;
}

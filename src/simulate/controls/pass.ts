import { synthesise } from "../../signal/synthesise.js";
import type { SignalTable } from "../../signal/types.js";
import { simulatePath } from "../desk.js";
import { createRng } from "../rng.js";
import type { Stage, VirtualDesk } from "../types.js";
import { pressing, type Span, turning } from "./hand.js";
import { movedPot } from "./pot.js";
import { movedSwitch } from "./switch.js";
import type { VirtualControl } from "./types.js";

/**
 * Plays a controls pass into a path while a hand moves one control after another, each after its
 * count-in.
 *
 * @param controls one for each window of the table, in its order
 * @param name names the hand and the tracks; the same name gives the same samples
 * @returns capture, full scale ±1
 */
export function simulateControlsPass(
  desk: VirtualDesk,
  path: { readonly strip: number; readonly input: string },
  table: SignalTable,
  sampleRate: number,
  controls: readonly VirtualControl[],
  name: string,
): Float64Array {
  const spans = spansOf(table);
  const moved = controls.map((control, k): Stage => {
    const rng = createRng(`${name}/hand/${k}`);
    if (control.kind === "switch") {
      return movedSwitch(control, pressing(spans[k], rng), rng, sampleRate);
    }
    const strokes = turning(spans[k], control.markAt, rng);
    return movedPot(control, strokes, `${name}/${k}`, sampleRate);
  });
  return simulatePath(
    desk,
    path.strip,
    path.input,
    synthesise(table, sampleRate),
    sampleRate,
    moved,
  );
}

/** From the count-in to the end of the silence, and when the next count-in comes. */
function spansOf({ segments, lengthS }: SignalTable): readonly Span[] {
  return segments.flatMap((tone, k) => {
    if (tone.kind !== "tone" || tone.move === undefined) return [];
    const silence = segments[k + 1];
    const next = segments.slice(k + 3)[0];
    return [
      {
        fromS: tone.startS,
        untilS: silence.startS + silence.lengthS,
        backS: next?.startS ?? lengthS,
      },
    ];
  });
}

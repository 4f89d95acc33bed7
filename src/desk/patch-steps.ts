import { listSettings, type Setting } from "./controls.js";
import { applyPads } from "./pads.js";
import type { Desk, DeskControl, DeskInput } from "./types.js";

/**
 * Manual steps between one path and the next, with their time. The run sheet prints them; `fewest`
 * orders by them.
 */
export interface PatchStep {
  /** The pad between plug and socket: inserted, removed, replaced by another, or unchanged. */
  readonly pad: "in" | "out" | "changed" | "as it is";
  /** Mutes to change: the previous strip's and this one's; 0 on the same strip. */
  readonly mutes: 0 | 1 | 2;
  /** Controls to set; on a strip's first path, all of them. */
  readonly changes: readonly Setting[];
  readonly seconds: number;
}

/**
 * Seconds for each manual step: a guess from common practice, used only for the order and the time
 * estimate.
 */
export const handlingTimesS = {
  /** Moving a plug to another socket. */
  plug: 8,
  /** Inserting or removing a pad. */
  pad: 10,
  /** Setting a knob or switch to its mark. */
  control: 2,
  /** A mute. */
  mute: 2,
  /** Starting the signal, checking the meter and ticking the sheet. */
  play: 4,
} as const;

/** Patching and settings that a path needs. */
interface Stop {
  readonly strip: string;
  readonly input: string;
}

/**
 * The work before each path of a sequence.
 *
 * @param stops paths in the order in which they are played
 */
export function planPatchSteps(
  desk: Pick<Desk, "inputs" | "controls" | "referenceDbu">,
  stops: readonly Stop[],
): readonly PatchStep[] {
  const inputs = new Map(
    applyPads(desk.inputs, desk.referenceDbu).map((input) => [
      input.name,
      { padDb: input.padDb, settings: listSettings(desk.controls, input) },
    ]),
  );
  const stands = new Map<string, Map<string, string>>();
  let before: Stop | undefined;
  return stops.map((stop) => {
    const { padDb, settings } = inputs.get(stop.input) ?? { padDb: 0, settings: [] };
    const was = before === undefined ? 0 : (inputs.get(before.input)?.padDb ?? 0);
    const stand = stands.get(stop.strip) ?? new Map<string, string>();
    stands.set(stop.strip, stand);
    const changes = settings.filter(({ control, to }) => stand.get(control) !== to);
    for (const { control, to } of changes) stand.set(control, to);
    const mutes = before === undefined ? 1 : before.strip === stop.strip ? 0 : 2;
    const pad = padMove(was, padDb);
    before = stop;
    const seconds =
      handlingTimesS.plug +
      handlingTimesS.play +
      (pad === "as it is" ? 0 : handlingTimesS.pad) +
      mutes * handlingTimesS.mute +
      changes.length * handlingTimesS.control;
    return { pad, mutes, changes, seconds };
  });
}

function padMove(was: number, is: number): PatchStep["pad"] {
  if (was === is) return "as it is";
  if (was === 0) return "in";
  return is === 0 ? "out" : "changed";
}

/** Seconds from one input to another of the same strip, beyond the plug itself. */
export function computeChangeTimesS(
  controls: readonly DeskControl[],
  from: Pick<DeskInput, "set" | "padDb">,
  to: Pick<DeskInput, "set" | "padDb">,
): { readonly pad: number; readonly controls: number } {
  const stand = new Map(listSettings(controls, from).map((s) => [s.control, s.to]));
  const changed = listSettings(controls, to).filter((s) => stand.get(s.control) !== s.to);
  return {
    pad: padMove(from.padDb ?? 0, to.padDb ?? 0) === "as it is" ? 0 : handlingTimesS.pad,
    controls: changed.length * handlingTimesS.control,
  };
}

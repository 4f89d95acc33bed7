import { isPhantomControl } from "../desk/controls.js";
import type { ControlKind, DeskControl } from "../desk/types.js";
import type { ControlAction, Move } from "./types.js";

const hands: Readonly<Record<ControlKind, ControlAction>> = {
  knob: "turn",
  switch: "press",
  fader: "slide",
};

/**
 * The moves of a controls pass: one for each control that may be moved.
 *
 * @example
 * buildMoves([{ name: "gain", kind: "knob" }])[0].control; // "gain"
 */
export function buildMoves(controls: readonly DeskControl[]): readonly Move[] {
  return controls
    .filter((control) => !isPhantomControl(control))
    .map(({ name, kind }) => ({ control: name, hand: hands[kind] }));
}

/**
 * Moves of which only the number is known, as in a recording without the signal's file.
 *
 * @example
 * buildUnnamedMoves(3).length; // 3
 */
export function buildUnnamedMoves(count: number): readonly Move[] {
  return Array.from({ length: count }, (_, k) => ({ control: `control ${k + 1}`, hand: "turn" }));
}

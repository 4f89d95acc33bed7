import { listCautions } from "./run-sheet.js";

/** Cautions for opening the desk because of a round's findings. */
const opening = [
  "Switch off and unplug the desk before opening it, wait, and check with a meter that no voltage is left before touching anything inside: the supply stays dangerous after switch-off, as its capacitors hold charge.",
  "Tie a desk that stands on its edge, or have a second person hold it.",
  "Note each connector before pulling it: which one, which way round. Touch the desk's metal frame before touching a board, against static.",
] as const;

/** Cautions for work that follows from a round: measuring again, and opening the desk. */
export function listRoundCautions(): readonly string[] {
  return [...listCautions(), ...opening];
}

/** Short cautions for work inside the desk, printed before anything else. */
export const workCautions: readonly string[] = [
  "Switch off, pull the mains plug, wait, and check with a meter that no voltage is left before touching anything inside: the supply stays dangerous after switch-off, as its capacitors hold charge. Leave mains and supply work to licensed people, under local codes.",
  "Tie a desk that stands on its edge, or have a second person hold it, before undoing the first screw.",
  "Discharge yourself to the frame before touching a board. Wear an earthed wrist strap at the unplugged desk only, never while it is under power.",
  "Never lift a protective earth, not even to get rid of hum.",
];

import { listCautions } from "./run-sheet.js";

/** What can hurt people or the desk when it is opened for what a round has found. */
const opening = [
  "Before the desk is opened: switched off and unplugged. The supply stays dangerous after switch-off, as its capacitors hold charge.",
  "A desk on its edge is tied, or held by a second person.",
  "Note each connector before pulling it: which one, which way round. Touch the desk's metal frame before a board, against static.",
] as const;

/** Cautions for all that follows from a round: measuring again, and opening the desk. */
export function listRoundCautions(): readonly string[] {
  return [...listCautions(), ...opening];
}

/** Cautions for work inside the desk, in the user's words, short; they stand before anything else. */
export const workCautions: readonly string[] = [
  "Switch off, pull the mains plug and wait: the supply stays dangerous after switch-off and capacitors hold charge. Mains and supply work is for licensed people, under local codes.",
  "A desk on its edge must be tied or held by a second person. Wire the strap before the first screw.",
  "Discharge yourself to the frame before touching a board, and stay earthed.",
  "Never lift a protective earth, not even to be rid of hum.",
];

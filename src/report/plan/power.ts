import type { PlanPhase } from "../../service/plan/types.js";
import { formatCommand } from "../../text/program-name.js";

/** The state of power at the head of each part of the worklist. */
export const powerWords: Readonly<Record<PlanPhase["power"], string>> = {
  "in use": "ON, desk closed",
  "powered and open": "ON, desk open and live",
  unplugged:
    "OFF, mains plug pulled; treat it as live until you have measured that no voltage is left",
};

/** Before anything is played through a path. */
export const playRules: readonly string[] = [
  "mute the monitors and turn headphones down before any sweep or tone; switch phantom power off on the path and wait a minute before you patch it",
];

/** Minutes before anything is measured: reservoir capacitors discharge slowly (common practice). */
const waitMinutes = 5;

/** From any state to unplugged; {@link chargeCheck} ends the waiting. */
export function switchOff(which: "first" | "again"): readonly string[] {
  return [
    ...(which === "first"
      ? [
          "mute the monitors, pull the faders down, switch phantom power off; write down how the desk is set",
        ]
      : ["stop whatever is playing; mute the monitors"]),
    `switch off, pull the mains plug and leave it where you can see it; wait ${waitMinutes} minutes`,
  ];
}

/**
 * The check that ends the waiting. To prove a circuit dead, the meter is tried before and after
 * (HSE, HSG85 "Electricity at work: safe working practices"; from memory).
 */
export const chargeCheck =
  "check that no voltage is left, without opening the supply: try the meter on a battery; then, touching nothing else, measure each rail to ground at two strips (one with a blown fuse reads 0 V while the supply is still charged) and the phantom feed: +\u00a0____\u00a0V, −\u00a0____\u00a0V, phantom\u00a0____\u00a0V, each must be below 1 V; try the meter on the battery again. If any is higher, wait and measure again; never short a capacitor to discharge it";

/** The same check later, in brief, for somebody who has done it once. */
export const chargeCheckAgain =
  "check again that no voltage is left, and try the meter before and after, as you did the first time: +\u00a0____\u00a0V, −\u00a0____\u00a0V, phantom\u00a0____\u00a0V, each must be below 1 V";

export const tieStep =
  "tie the desk so that it cannot tip, or have a second person hold it; lift heavy covers and frames with two people";

/** For a desk without a strip-down book. */
export const openStep =
  "take the covers off; put the screws and nuts of each cover into a separate tray with a lid, and write down how many";

export const openedSteps: readonly string[] = [
  "photograph the inside; label every connector and write down where each power and earth lead goes",
];

export const liveRules: readonly string[] = [
  "the desk is open and live: work with one hand and an insulated probe; no rings, chains or earthed wrist strap; keep all mains and supply covers on; leave supply and mains work to licensed people, under local codes",
  "never fit or remove a connector, board or extender under power: switch off, pull the plug and measure first",
];

export const switchOn: readonly string[] = [
  "check that every strip and every earth lead is in its place, that nothing is loose inside and that nobody has their hands in the desk; mute the monitors",
  "plug in, switch on and keep a hand on the switch: if you notice smoke, a smell, heat or hum, switch off and pull the plug",
];

/** Printed once for all strips or boards. */
export const listColdRules = (what: "strip" | "board"): readonly string[] => [
  `for every ${what}: photograph it, label its connectors, catch nuts and washers; do not overtighten them later`,
  "measure resistors, capacitors and contacts only with the desk off, unplugged and discharged; lift one end, or compare with the same reading on a sibling",
  "when you solder: extract the fumes, wear safety glasses, and wash your hands afterwards, because old solder contains lead",
];

/**
 * What to do while the desk is still off, before it is tried.
 *
 * @param logged a place whose boards were logged as taken off; undefined if there is none
 */
export const listBeforeTrying = (logged?: string): readonly string[] => [
  "count screws and tools; look for what is left inside",
  `connect the power and earth leads as in the photograph, earth first; put every strip and connector in its place${logged === undefined ? "" : `, and log what is back, e.g. \`${formatCommand(`opening back ${logged}`)}\``}: \`${formatCommand("opening status")}\` lists what is still off`,
];

/** To write down while the work is fresh; a re-test asks which strips were worked on. */
export const listDoneSteps = (what: "strip" | "place"): readonly string[] => [
  `note for every ${what} what was done and the parts used, e.g. \`${formatCommand(`note done ${what === "strip" ? 5 : "master"} "op amp replaced" --part "1x op amp"`)}\``,
];

/** What was worked on; by ear if there is no round of the whole desk to compare with. */
export type Trial = "strips" | "places" | "strips by ear" | "places by ear";

const rails = "+\u00a0____\u00a0V, −\u00a0____\u00a0V";

const railChecks = {
  strips: `measure each rail to ground at a strip that was out: ${rails}, the same as at a strip that stayed in`,
  places: `measure each rail to ground at two strips: ${rails}, the same at both and as the desk should have them`,
} as const;

const buildRetests = (): Readonly<Record<Trial, string>> => {
  const sheet = `\`${formatCommand("plan --retest")}\` prints the sheet, \`${formatCommand("analyze --retest")}\` says whether the desk can be closed`;
  const close = `then close the notes that this settles (\`${formatCommand("note close n1")}\`); if a fault is still there, find it before you close the desk`;
  return {
    strips: `measure the strips that were out and their neighbours again: ${sheet}`,
    places: `measure some of the strips that it feeds or mixes again: ${sheet}`,
    "strips by ear": `turn the headphones down and listen to every input and control of the strips that were out, and to their neighbours, with and without a signal; ${close}`,
    "places by ear": `turn the headphones down and listen to what was worked on, and to some of the strips that it feeds or mixes, with and without a signal; ${close}`,
  };
};

export const listTrySteps = (trial: Trial = "strips"): readonly string[] => [
  "take the wrist strap off, keep your hands out, mute the monitors; plug in, switch on and keep a hand on the switch: if you notice smoke, a smell, heat or hum, switch off and pull the plug",
  `${railChecks[trial.startsWith("strips") ? "strips" : "places"]}; if not, switch off, pull the plug and check what was worked on`,
  buildRetests()[trial],
];

export const listCloseSteps = (): readonly string[] => [
  "put the covers back on in the reverse order, each with all its screws; count them",
];

export const listUseSteps = (what: string): readonly string[] => [
  "mute the monitors, plug in, switch on and keep a hand on the switch; stay with the desk for the first hour",
  `listen to ${what}`,
  "set the desk as it was written down before it was opened, phantom power only where it is needed",
];

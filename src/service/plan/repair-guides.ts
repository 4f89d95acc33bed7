import { isControlCause } from "./from-controls.js";

/** A kind of part that a repair may take; its value is the desk's own. */
export type PartRole =
  | "coupling capacitor"
  | "gain leg capacitor"
  | "decoupling capacitor"
  | "small capacitor"
  | "op amp"
  | "input device"
  | "resistor"
  | "feed resistor pair"
  | "control"
  | "switch"
  | "socket"
  | "fuse"
  | "bias parts"
  | "ribbon cable"
  | "contact cleaner";

export interface PartNeed {
  readonly role: PartRole;
  readonly count: number;
}

/** What a fault asks for at the bench. */
export interface RepairGuide {
  readonly look: string;
  readonly replace: string;
  readonly parts: readonly PartNeed[];
  /** At the bench, strip out, test included. */
  readonly minutes: number;
  readonly risk: string;
  /** What to try before anything is opened, where that may settle it. */
  readonly before?: string;
}

const boards = "discharge yourself first; a lifted pad costs more than the part";
const live = "measured under power: one hand, insulated probe; supply work is for licensed people";
const cable = "swap the cable and the socket's plug with a sibling's and record this path again";

/**
 * What each cause asks for. Minutes, quantities and risks are common practice of the trade, no
 * published source.
 */
const works: Readonly<Record<string, RepairGuide>> = {
  "no-signal": {
    look: "connectors and ribbon of the strip first, then stage by stage with the tone",
    replace: "what the tone stops at",
    parts: [
      { role: "op amp", count: 1 },
      { role: "ribbon cable", count: 1 },
    ],
    minutes: 40,
    risk: `${boards}; ribbons break at the crimp when pulled by the cable`,
    before: "patch this path again and watch the meter while the tone plays",
  },
  "open-leg": {
    look: "solder joints of the socket, the ribbon's contact, the series resistors of both legs",
    replace: "the open joint, contact or resistor",
    parts: [
      { role: "socket", count: 1 },
      { role: "resistor", count: 2 },
    ],
    minutes: 25,
    risk: boards,
    before: cable,
  },
  "gain-off": {
    look: "controls and their marks; then the resistors that set the gain",
    replace: "the resistor off value",
    parts: [{ role: "resistor", count: 2 }],
    minutes: 30,
    risk: boards,
  },
  "worn-gain-control": {
    look: "the control's track and wiper",
    replace: "clean it; a new control where cleaning does not hold",
    parts: [
      { role: "control", count: 1 },
      { role: "contact cleaner", count: 1 },
    ],
    minutes: 30,
    risk: "cleaner that leaves oil spoils conductive plastic; do not overtighten the nut",
  },
  "dirty-contact": {
    look: "the switch or jack of this input and the connectors behind it",
    replace: "clean or burnish; a new switch where cleaning does not hold",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "switch", count: 1 },
    ],
    minutes: 25,
    risk: "little cleaner, worked in and left to dry before power",
    before: "plug or switch a dozen times and record this path again",
  },
  "crossover-distortion": {
    look: "bias of the output stage, measured warm",
    replace: "bias diodes or transistors of the output stage",
    parts: [{ role: "bias parts", count: 1 }],
    minutes: 50,
    risk: live,
  },
  "dried-coupling-capacitor": {
    look: "the coupling capacitors of this path, bridged one after the other",
    replace: "the dry one and its fellows of the same age on the strip",
    parts: [{ role: "coupling capacitor", count: 4 }],
    minutes: 35,
    risk: `mind the polarity of electrolytics; ${boards}`,
  },
  "dried-gain-leg-capacitor": {
    look: "the capacitor in the gain or feedback leg",
    replace: "that capacitor",
    parts: [{ role: "gain leg capacitor", count: 1 }],
    minutes: 25,
    risk: `mind the polarity of electrolytics; ${boards}`,
  },
  "high-loss": {
    look: "small capacitors to ground, the wiring to the bus, the ribbon",
    replace: "the leaking capacitor or failing cable",
    parts: [
      { role: "small capacitor", count: 2 },
      { role: "ribbon cable", count: 1 },
    ],
    minutes: 35,
    risk: boards,
    before: cable,
  },
  "noisy-device": {
    look: "the first stage: swap its device with a sibling's",
    replace: "the noisy device",
    parts: [
      { role: "input device", count: 1 },
      { role: "op amp", count: 1 },
    ],
    minutes: 30,
    risk: boards,
  },
  "ground-hum": {
    look: "shield of the socket, ground of the strip to the frame, ground screws",
    replace: "the open joint or braid",
    parts: [{ role: "socket", count: 1 }],
    minutes: 25,
    risk: "never lift a protective earth to be rid of hum; leads of power and earth go back as they were",
    before: cable,
  },
  "supply-ripple": {
    look: "decoupling capacitors and feed resistors of the strip",
    replace: "the decoupling capacitors",
    parts: [{ role: "decoupling capacitor", count: 2 }],
    minutes: 35,
    risk: live,
  },
  "supply-rail-off": {
    look: "fuse, feed resistors and decoupling of the strip; the rail at the next strip",
    replace: "fuse or feed resistor, and what made it go",
    parts: [
      { role: "fuse", count: 1 },
      { role: "resistor", count: 2 },
      { role: "decoupling capacitor", count: 2 },
    ],
    minutes: 35,
    risk: live,
  },
  "phantom-supply-off": {
    look: "both feed resistors, the phantom switch, the input capacitors for leakage",
    replace: "the feed resistors as a pair matched within 0.4 % (IEC 61938), the leaking capacitor",
    parts: [
      { role: "feed resistor pair", count: 1 },
      { role: "coupling capacitor", count: 2 },
      { role: "switch", count: 1 },
    ],
    minutes: 35,
    risk: `phantom off and discharged before soldering; ${boards}`,
  },
  "early-clipping": {
    look: "rails at the op amps, then bias and feedback resistors",
    replace: "the open feed, the op amp or the resistor off value",
    parts: [
      { role: "op amp", count: 1 },
      { role: "resistor", count: 2 },
    ],
    minutes: 40,
    risk: live,
  },
  oscillation: {
    look: "op amp outputs with an oscilloscope, compensation and decoupling",
    replace: "compensation or decoupling capacitors, the op amp",
    parts: [
      { role: "small capacitor", count: 2 },
      { role: "decoupling capacitor", count: 2 },
      { role: "op amp", count: 1 },
    ],
    minutes: 50,
    risk: live,
  },
  "leaky-capacitor": {
    look: "direct voltage behind each coupling capacitor",
    replace: "the leaking capacitor",
    parts: [{ role: "coupling capacitor", count: 2 }],
    minutes: 30,
    risk: `mind the polarity of electrolytics; ${boards}`,
  },
  "polarity-reversed": {
    look: "pins 2 and 3 of the socket, both ends of the ribbon",
    replace: "nothing: change the two legs over",
    parts: [],
    minutes: 20,
    risk: boards,
    before: `check the polarity switch; ${cable}`,
  },
};

const control: RepairGuide = {
  look: "the control itself, its solder joints and the direct voltage on it",
  replace: "nothing if cleaning lasts; else the control, same track, value and shaft",
  parts: [
    { role: "contact cleaner", count: 1 },
    { role: "control", count: 1 },
  ],
  minutes: 25,
  risk: boards,
  before: "work it from end to end some thirty times, then record the controls pass again",
};

const unknown: RepairGuide = {
  look: "record the path again first; then follow the signal stage by stage",
  replace: "what the tone stops or changes at",
  parts: [],
  minutes: 45,
  risk: boards,
};

/** What a cause asks for at the bench. */
export function getRepairGuide(cause: string): RepairGuide {
  if (Object.hasOwn(works, cause)) return works[cause];
  return isControlCause(cause) ? control : unknown;
}

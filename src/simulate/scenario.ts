import type { DeskInput } from "../desk/types.js";
import { virtualDesk } from "./desk.js";
import { type FaultName, faults } from "./faults.js";
import type { VirtualDeskOptions } from "./types.js";

/** A fault that the demo hides, in the words to print beside what was found. */
export interface HiddenFault {
  readonly path: string;
  /** Plain words: "dried coupling capacitor". */
  readonly what: string;
  /** The part and its value: "coupling capacitor: 6.8 µF → 540 nF". */
  readonly component: string;
}

/** The demo's desk, its owner's settings and what is wrong with it. */
export interface Scenario {
  /** Names are invented. */
  readonly name: string;
  readonly deskInputs: readonly DeskInput[];
  /** Level at the mix output at nominal, dBu. */
  readonly referenceDbu: number;
  readonly options: VirtualDeskOptions;
  readonly hidden: readonly HiddenFault[];
}

/** One path each, moderate: heard by an attentive ear, missed by a hurried one. */
const placed: readonly { at: string; fault: FaultName; severity: number }[] = [
  { at: "4/mic", fault: "noisy-input-device", severity: 0.3 },
  { at: "6/tape", fault: "high-frequency-loss", severity: 0.25 },
  { at: "9/line", fault: "missing-rail", severity: 0.4 },
  { at: "14/tape", fault: "open-leg", severity: 0.5 },
  { at: "17/line", fault: "dried-coupling", severity: 0.2 },
  { at: "21/mic", fault: "dried-feedback-leg", severity: 0.1 },
];

const options: VirtualDeskOptions = {
  seed: 2407,
  strips: 24,
  inputs: ["mic", "line", "tape"],
  mainsHz: 50,
  faults: placed,
};

export const scenario: Scenario = {
  name: "Tallowick Rooms, the Marlgate desk",
  referenceDbu: 4,
  deskInputs: [
    {
      name: "mic",
      nominalDbu: -40,
      setup:
        "phantom power off, pad box between interface and mic socket, mic selected, gain to its 38 dB mark, fader to 0, low-cut and EQ out",
    },
    {
      name: "line",
      nominalDbu: 4,
      setup: "line selected, line gain to its 0 mark, fader to 0, low-cut and EQ out",
    },
    {
      name: "tape",
      nominalDbu: 4,
      setup: "tape return selected, level to its mark, fader to 0, low-cut and EQ out",
    },
  ],
  options,
  hidden: hiddenFaults(),
};

function hiddenFaults(): HiddenFault[] {
  const sound = virtualDesk({ ...options, faults: [] });
  const ailing = virtualDesk(options);
  return placed.map(({ at, fault }) => {
    const { what, part, show } = faults[fault];
    const component = `${part}: ${show(sound.paths[at])} → ${show(ailing.paths[at])}`;
    return { path: at, what, component };
  });
}

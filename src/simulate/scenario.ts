import type { DeskInput } from "../desk/types.js";
import { virtualDesk } from "./desk.js";
import { type FaultName, faults } from "./faults.js";
import { createRng, uniform } from "./rng.js";
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

interface PlacedFaultName {
  readonly at: string;
  readonly fault: FaultName;
  readonly severity: number;
}

/** One path each, moderate: heard by an attentive ear, missed by a hurried one. */
const placed: readonly PlacedFaultName[] = [
  { at: "4/mic", fault: "noisy-input-device", severity: 0.3 },
  { at: "6/tape", fault: "high-frequency-loss", severity: 0.25 },
  { at: "9/line", fault: "missing-rail", severity: 0.6 },
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
  hidden: hiddenFaults(options, placed),
};

function hiddenFaults(desk: VirtualDeskOptions, hidden: readonly PlacedFaultName[]): HiddenFault[] {
  const sound = virtualDesk({ ...desk, faults: [] });
  const ailing = virtualDesk(desk);
  return hidden.map(({ at, fault }) => {
    const { what, part, show } = faults[fault];
    const component = `${part}: ${show(sound.paths[at])} → ${show(ailing.paths[at])}`;
    return { path: at, what, component };
  });
}

/** Faults that a drawn desk may hide; each shows in level, response, distortion, noise or polarity. */
const hideable: readonly { fault: FaultName; inputs: readonly string[] }[] = [
  { fault: "dried-coupling", inputs: ["mic", "line", "tape"] },
  { fault: "dried-feedback-leg", inputs: ["mic"] },
  { fault: "open-leg", inputs: ["mic", "line", "tape"] },
  { fault: "noisy-input-device", inputs: ["mic"] },
  { fault: "missing-rail", inputs: ["line", "tape"] },
  { fault: "high-frequency-loss", inputs: ["mic", "line", "tape"] },
  { fault: "gain-off-value", inputs: ["mic", "line"] },
  { fault: "swapped-wiring", inputs: ["mic", "line", "tape"] },
  { fault: "dead-stage", inputs: ["mic", "line", "tape"] },
  { fault: "open-shield", inputs: ["mic", "line", "tape"] },
];

/** Another desk of the same kind: other parts, and six faults of different kinds elsewhere. */
export function drawnScenario(seed: number): Scenario {
  const rng = createRng(`${seed}/scenario`);
  const pick = <T>(from: T[]): T => from.splice(Math.floor(uniform(rng) * from.length), 1)[0];
  const strips = Array.from({ length: options.strips }, (_, k) => k + 1);
  const kinds = [...hideable];
  const faultsDrawn = scenario.hidden.map(() => {
    const { fault, inputs } = pick(kinds);
    const at = `${pick(strips)}/${pick([...inputs])}`;
    return { at, fault, severity: 0.3 + 0.4 * uniform(rng) };
  });
  const drawn: VirtualDeskOptions = { ...options, seed, faults: faultsDrawn };
  return { ...scenario, options: drawn, hidden: hiddenFaults(drawn, faultsDrawn) };
}

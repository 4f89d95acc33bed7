import type { Banks, SharedParts, WarmUp } from "./shared-types.js";

/**
 * The virtual desk as plain data: every figure is the value of a component, a setting or a stray
 * property of the wiring, in ohms, farads, volts and hertz. A fault is another value; what it does
 * to a capture follows from the circuit.
 */

/** An electrolytic capacitor. */
export interface Capacitor {
  /** Infinite for a piece of wire. */
  readonly farad: number;
  /** Equivalent series resistance, ohms. */
  readonly seriesOhm: number;
  /** Distortion voltage per volt across it, second order (1/V) and third order (1/V²). */
  readonly second: number;
  readonly third: number;
}

/** An op amp or a discrete stage with feedback, and the supply it runs on. */
export interface Amplifier {
  /** Gain-bandwidth product, hertz. */
  readonly gainBandwidthHz: number;
  /** White voltage noise at its input, V/√Hz. */
  readonly noiseV: number;
  /** Frequency below which 1/f noise exceeds the white, hertz. */
  readonly flickerHz: number;
  /** Curvature of its transfer at the output: second order (1/V) and third order (1/V²). */
  readonly second: number;
  readonly third: number;
  /** Supply rails as they reach it, volts; the lower one is negative. */
  readonly railHighV: number;
  readonly railLowV: number;
  /** How near to its rails the output can swing, volts. */
  readonly saturationV: number;
  /** Width of the gap between the halves of its output stage that feedback leaves, volts. */
  readonly crossoverV: number;
  /** Parasitic oscillation at its output, peak volts; 0 when stable. */
  readonly oscillationV: number;
  readonly oscillationHz: number;
}

/** One of the two legs of a balanced line, from the source to the receiver. */
export interface Leg {
  /** Output resistance of the source. */
  readonly sourceOhm: number;
  /** Contact at the plug; a broken leg is a very large one. */
  readonly contactOhm: number;
  /** Resistor from the socket to ground. */
  readonly shuntOhm: number;
}

/** What turns two legs into one voltage. */
export type Receiver =
  | {
      /** Four resistors about an op amp. */
      readonly kind: "difference";
      readonly hotSeriesOhm: number;
      readonly hotShuntOhm: number;
      readonly coldSeriesOhm: number;
      readonly coldFeedbackOhm: number;
      readonly amplifierNoiseV: number;
    }
  | {
      /** A pair of input devices that takes the difference itself. */
      readonly kind: "pair";
      readonly seriesOhm: number;
      /** Excess gain of the cold side, a fraction. */
      readonly imbalance: number;
    };

/** What the cable gathers, peak volts of the mains' fundamental. */
export interface Cable {
  /** Alike on both legs. */
  readonly commonV: number;
  /** Between the legs. */
  readonly differentialV: number;
}

/** Non-inverting stage: gain is 1 + feedback/(leg + capacitor). */
export interface GainStage {
  readonly feedbackOhm: number;
  readonly legOhm: number;
  readonly legCapacitor: Capacitor;
  readonly amplifier: Amplifier;
}

/** What leaks through the coupling capacitor. */
export interface Leakage {
  /** Resistance through the dielectric, ohms; infinite when sound. */
  readonly ohm: number;
  /** Voltage that polarises the capacitor, and drives the leakage, volts. */
  readonly biasV: number;
}

/** Where the wiper of the gain control touches its track. */
export interface Wiper {
  /** Largest part of the gain that a worn spot takes away, a fraction. */
  readonly depth: number;
  /** Voltage that the direct current through a worn spot leaves at the stage's output, volts. */
  readonly crackleV: number;
}

/** Switching contact of the input's jack, in the hot leg. */
export interface Jack {
  /** What its resistance rises to at worst, ohms; it wanders between 0 and this. */
  readonly wornOhm: number;
  /** Voltage that a film of dirt holds back, volts. */
  readonly filmV: number;
}

/** Connector and switch between the input's board and the strip. */
export interface Contact {
  readonly contactOhm: number;
  /** Stray path around the contact. */
  readonly strayOhm: number;
  readonly loadOhm: number;
  /** Voltage that a film of dirt holds back, volts. */
  readonly filmV: number;
  /** Depth of the level's wandering, a fraction. */
  readonly flutter: number;
}

/** Rail of a strip: raw ripple, filtered by a resistor and a capacitor on the spot. */
export interface Supply {
  /** Ripple before the filter, peak volts at twice the mains. */
  readonly rippleV: number;
  readonly feedOhm: number;
  readonly decouplingFarad: number;
  /** Ripple at the output per ripple on the rail. */
  readonly rejection: number;
  /**
   * What the ripple holds at whole multiples of twice the mains, the first being 1; 1, 1/2, 1/3 …
   * when absent.
   */
  readonly harmonics?: readonly number[];
}

/** Low-cut switch; a Butterworth filter. */
export interface LowCut {
  readonly cornerHz: number;
  readonly order: 2 | 3;
}

/** One band of the equaliser. */
export interface Equaliser {
  readonly shape: "peak" | "low-shelf" | "high-shelf";
  readonly centreHz: number;
  readonly gainDb: number;
  readonly q: number;
}

/** All components between the interface's output and the summing bus for one path. */
export interface PathValues {
  /** Voltage at the source per voltage of the interface's output: 1, or the pad box. */
  readonly padGain: number;
  readonly hot: Leg;
  readonly cold: Leg;
  /** Whether hot meets hot. */
  readonly wiring: "straight" | "swapped";
  readonly cable: Cable;
  readonly jack: Jack;
  readonly receiver: Receiver;
  readonly gain: GainStage;
  readonly wiper: Wiper;
  readonly coupling: Capacitor;
  readonly leakage: Leakage;
  readonly contact: Contact;
  readonly supply: Supply;
  /** Voltage the mains transformer's field induces in the strip, peak volts. */
  readonly magneticV: number;
  readonly lowCut: LowCut | "out";
  readonly equaliser: Equaliser | "out";
  /** Fader against its mark, decibels. */
  readonly faderDb: number;
  /** Resistance that drives the wiring to the bus, and the capacitance of that wiring. */
  readonly driveOhm: number;
  readonly shuntFarad: number;
  readonly summingOhm: number;
  /** DC voltage of what stands behind the coupling capacitor, volts. */
  readonly offsetV: number;
}

/** Summing and output stage, shared by all strips. */
export interface MasterValues {
  readonly summingFeedbackOhm: number;
  /** Across that resistor; too small to matter when absent. */
  readonly summingFeedbackFarad?: number;
  /** All strips' summing resistors in parallel. */
  readonly busOhm: number;
  readonly summingNoiseV: number;
  readonly outputGain: number;
  readonly amplifier: Amplifier;
  readonly outputOhm: number;
  readonly coupling: Capacitor;
  readonly supply: Supply;
  readonly magneticV: number;
}

/** The audio interface at both ends. */
export interface InterfaceValues {
  /** Level of a full-scale sine, in and out, dBu. */
  readonly fullScaleDbu: number;
  /** The same of its input, where that is set otherwise than its output. */
  readonly inputFullScaleDbu?: number;
  /** Noise of its output and input, V/√Hz. */
  readonly outputNoiseV: number;
  readonly inputNoiseV: number;
  readonly inputOhm: number;
  /** Hum that its input adds of its own, peak volts of the mains' fundamental. */
  readonly humV?: number;
  /** Coupling capacitor of its input, farads; too large to matter when absent. */
  readonly inputFarad?: number;
  /** Cable from the desk to its input: contacts in series, then capacitance across. */
  readonly cable?: { readonly contactOhm: number; readonly farad: number };
}

/** A fault at `7/mic`, at all inputs of strip `7`, or at `master`. */
export interface PlacedFault {
  readonly at: string;
  /** A name of `faults`, or of `masterFaults` when at `master`. */
  readonly fault: string;
  /** 0, the mildest that a round ought to show, to 1, gross. */
  readonly severity: number;
}

/** A fault of a part that paths share. */
export interface PlacedSharedFault {
  /** A name of `sharedFaults`. */
  readonly fault: string;
  /** 0, the mildest that a round ought to show, to 1, gross. */
  readonly severity: number;
  /** Name of the feed, ribbon, group or input; absent for what the whole desk shares. */
  readonly at?: string;
  /** 1-based; the strips of a batch. */
  readonly strips?: readonly number[];
  /** The first path that it reaches, from 0 in the order of recording. */
  readonly fromTurn?: number;
}

/** Strips that were worked on together, and what was done to them. */
export interface Batch {
  /** 1-based. */
  readonly strips: readonly number[];
  /** A name of `batchWorks`. */
  readonly work: string;
}

/** How long electrolytics have been in service at `7/mic`, or at all inputs of strip `7`. */
export interface Age {
  readonly at: string;
  /** Years at the usual pace. */
  readonly years: number;
}

export interface VirtualDeskOptions {
  readonly seed: number;
  readonly strips: number;
  readonly inputs: readonly string[];
  readonly mainsHz: 50 | 60;
  readonly faults: readonly PlacedFault[];
  /** Capture clock against playing clock; positive when the capture holds more samples. */
  readonly clockPpm?: number;
  /** Strips whose nominal values are not those of the others. */
  readonly batches?: readonly Batch[];
  /** Parts that are no longer new; all others are. */
  readonly ages?: readonly Age[];
  /** What stands between the desk's output stage and the socket; a capacitor when absent. */
  readonly output?: "capacitor" | "direct";
  /** Where the audio interface is not the usual one. */
  readonly interface?: Partial<InterfaceValues>;
  /** Hum that the cables gather against what is usual, a factor. */
  readonly cableHum?: number;
  /** How much more widely parts scatter than out of the bag, a factor; 1 when absent. */
  readonly scatter?: number;
  /** How many times the supply's field is stronger beside it than far away; 0 when absent. */
  readonly humGradient?: number;
  /** Another occasion: same components, knobs set again, other noise. */
  readonly occasion?: number;
  /** Another take on the same occasion: components and knobs as they were, other noise. */
  readonly take?: number;
  /** Which strips hang on which feeds, ribbons and groups; on none when absent. */
  readonly banks?: Banks;
  /** What is wrong with parts that paths share. */
  readonly sharedFaults?: readonly PlacedSharedFault[];
  /** Faults whose parts were replaced, as drawn for this occasion. */
  readonly repaired?: readonly PlacedFault[];
  /** Noise of interface and summing amplifier against what it is otherwise, decibels. */
  readonly floorDb?: number;
  /** A desk that was not yet warm when its first path was recorded. */
  readonly warmUp?: WarmUp;
}

export interface VirtualDesk {
  readonly seed: number;
  readonly occasion: number;
  readonly take: number;
  /** How many paths were recorded before the one that is being recorded. */
  readonly turn: number;
  readonly mainsHz: 50 | 60;
  readonly clockPpm: number;
  readonly strips: number;
  readonly inputs: readonly string[];
  readonly interface: InterfaceValues;
  readonly master: MasterValues;
  readonly sharedParts: SharedParts;
  /** By path, `7/mic`. */
  readonly paths: Readonly<Record<string, PathValues>>;
}

/** Works on a block in place and remembers its state from block to block. */
export type Stage = (block: Float64Array) => void;

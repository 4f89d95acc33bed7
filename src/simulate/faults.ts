import { DeskroundError } from "../errors.js";
import { type Fault, interpolateGeometric } from "./fault.js";
import { quantity } from "./quantity.js";
import { settings } from "./settings.js";
import type { Amplifier, Capacitor, Contact, MasterValues, PathValues } from "./types.js";

/**
 * The electrolyte has dried out: less capacitance, more series resistance, and more distortion.
 * @param spared by what factor it was oversized
 */
function dried(capacitor: Capacitor, severity: number, spared = 1): Capacitor {
  const left = interpolateGeometric(0.12, 0.008, severity) / spared;
  return {
    farad: capacitor.farad * left,
    seriesOhm: capacitor.seriesOhm * interpolateGeometric(4, 60, severity),
    second: capacitor.second * interpolateGeometric(4, 10, severity),
    third: capacitor.third * interpolateGeometric(4, 10, severity),
  };
}

function withAmplifier(values: PathValues, change: Partial<Amplifier>): PathValues {
  const { gain } = values;
  return { ...values, gain: { ...gain, amplifier: { ...gain.amplifier, ...change } } };
}

function withContact(values: PathValues, change: Partial<Contact>): PathValues {
  return { ...values, contact: { ...values.contact, ...change } };
}

const isMic = (values: PathValues) => values.receiver.kind === "pair";
const rails = ({ railHighV, railLowV }: Amplifier) =>
  `+${railHighV.toPrecision(2)} V / −${(-railLowV).toPrecision(2)} V`;

/** Faults and settings of one path. */
export const faults = {
  "dried-coupling": {
    kind: "fault",
    what: "dried coupling capacitor",
    part: "coupling capacitor",
    apply: (values, severity) => ({ ...values, coupling: dried(values.coupling, severity) }),
    show: ({ coupling }) => quantity(coupling.farad, "F"),
  },
  "drying-coupling": {
    kind: "fault",
    what: "coupling capacitor that dries, not heard yet",
    part: "coupling capacitor",
    apply: (values, severity) => ({
      ...values,
      coupling: {
        ...values.coupling,
        farad: values.coupling.farad * interpolateGeometric(0.25, 0.16, severity),
        seriesOhm: values.coupling.seriesOhm * 3,
      },
    }),
    show: ({ coupling }) => quantity(coupling.farad, "F"),
  },
  "series-resistance": {
    kind: "fault",
    what: "resistance in series ahead of the wiring to the bus",
    part: "contact ahead of the wiring to the bus",
    // Into wiring that is long enough to matter behind so much of it.
    apply: (values, severity) => ({
      ...values,
      driveOhm: values.driveOhm + interpolateGeometric(8e3, 60e3, severity),
      shuntFarad: 1.5e-9,
    }),
    show: ({ driveOhm }) => quantity(driveOhm, "Ω"),
  },
  "dried-feedback-leg": {
    kind: "fault",
    what: "dried capacitor in the feedback leg of the gain stage",
    part: "feedback-leg capacitor",
    // At a mic's gain the leg is 100 Ω and its corner 3 Hz; at a line's it is 8 to 15 kΩ, and the
    // corner so far down that a good part of the capacitor is never missed.
    apply: (values, severity) => {
      const legCapacitor = dried(values.gain.legCapacitor, severity, isMic(values) ? 1 : 6);
      return { ...values, gain: { ...values.gain, legCapacitor } };
    },
    show: ({ gain }) => quantity(gain.legCapacitor.farad, "F"),
  },
  "open-leg": {
    kind: "fault",
    what: "one leg of the balanced input open",
    part: "contact of the hot leg",
    apply: (values, severity) => ({
      ...values,
      hot: { ...values.hot, contactOhm: interpolateGeometric(200e3, 1e9, severity) },
    }),
    show: ({ hot }) => quantity(hot.contactOhm, "Ω"),
  },
  "noisy-input-device": {
    kind: "fault",
    what: "noisy input device",
    part: "voltage noise of the input device",
    // A line stage must exceed the noise of the bus, a mic stage only its own noise.
    apply: (values, severity) => {
      const more = isMic(values)
        ? interpolateGeometric(2.5, 20, severity)
        : interpolateGeometric(15, 150, severity);
      return withAmplifier(values, { noiseV: values.gain.amplifier.noiseV * more });
    },
    show: ({ gain }) => quantity(gain.amplifier.noiseV, "V/√Hz"),
  },
  "flicker-noise": {
    kind: "fault",
    what: "op amp with 1/f noise",
    part: "1/f corner of the op amp",
    apply: (values, severity) => {
      const { noiseV, flickerHz } = values.gain.amplifier;
      const more = isMic(values) ? 1 : 5;
      return withAmplifier(values, {
        noiseV: noiseV * more,
        flickerHz: flickerHz * interpolateGeometric(200, 10_000, severity),
      });
    },
    show: ({ gain }) => quantity(gain.amplifier.flickerHz, "Hz"),
  },
  "missing-rail": {
    kind: "fault",
    what: "early one-sided clipping",
    part: "rails of the gain stage",
    apply: (values, severity) =>
      withAmplifier(values, { railHighV: interpolateGeometric(5.5, 2, severity) }),
    show: ({ gain }) => rails(gain.amplifier),
  },
  "low-rails": {
    kind: "fault",
    what: "early clipping, both rails low",
    part: "rails of the gain stage",
    apply: (values, severity) => {
      const railV = interpolateGeometric(5.5, 2, severity);
      return withAmplifier(values, { railHighV: railV, railLowV: -railV });
    },
    show: ({ gain }) => rails(gain.amplifier),
  },
  "shifted-bias": {
    kind: "fault",
    what: "operating point of the gain stage off: a smooth bend",
    part: "curvature of the gain stage",
    apply: (values, severity) =>
      withAmplifier(values, { second: interpolateGeometric(1.5e-3, 3e-2, severity) }),
    show: ({ gain }) => `${gain.amplifier.second.toPrecision(2)} 1/V`,
  },
  "high-frequency-loss": {
    kind: "fault",
    what: "high-frequency loss",
    part: "capacitance to ground of the wiring to the bus",
    apply: (values, severity) => ({
      ...values,
      shuntFarad: interpolateGeometric(8e-9, 80e-9, severity),
    }),
    show: ({ shuntFarad }) => quantity(shuntFarad, "F"),
  },
  "gain-off-value": {
    kind: "fault",
    what: "gain control off value",
    part: "gain control's resistance in the leg",
    apply: (values, severity) => ({
      ...values,
      gain: { ...values.gain, legOhm: values.gain.legOhm * interpolateGeometric(1.5, 4, severity) },
    }),
    show: ({ gain }) => quantity(gain.legOhm, "Ω"),
  },
  "swapped-wiring": {
    kind: "fault",
    what: "reversed polarity in the wiring",
    part: "legs at the socket",
    apply: (values) => ({ ...values, wiring: "swapped" }),
    show: ({ wiring }) => wiring,
  },
  "leaky-coupling": {
    kind: "fault",
    what: "leaky coupling capacitor",
    part: "leakage resistance of the coupling capacitor",
    // From a tenth of a volt on the control, which is audible when it is turned. At rest, and after
    // an output capacitor, the mildest case shows almost nothing.
    apply: (values, severity) => ({
      ...values,
      leakage: { ...values.leakage, ohm: interpolateGeometric(400e3, 20e3, severity) },
    }),
    show: ({ leakage }) =>
      leakage.ohm === Number.POSITIVE_INFINITY ? "none" : quantity(leakage.ohm, "Ω"),
  },
  "worn-gain-control": {
    kind: "fault",
    what: "worn gain control",
    part: "part of the gain that its wiper loses",
    apply: (values, severity) => ({
      ...values,
      wiper: {
        depth: interpolateGeometric(0.02, 0.4, severity),
        crackleV: interpolateGeometric(1e-3, 50e-3, severity),
      },
    }),
    show: ({ wiper }) => `${(100 * wiper.depth).toPrecision(2)} %`,
  },
  "dirty-jack": {
    kind: "fault",
    what: "dirty switching contact of the input jack",
    part: "resistance of the jack's contact",
    // A mic socket sees a hundredth of the voltage and a twentieth of the resistance.
    apply: (values, severity) => ({
      ...values,
      jack: {
        wornOhm: interpolateGeometric(1e3, 100e3, severity) / (isMic(values) ? 20 : 1),
        filmV: interpolateGeometric(0.5e-3, 20e-3, severity) / (isMic(values) ? 100 : 1),
      },
    }),
    show: ({ jack }) => quantity(jack.wornOhm, "Ω"),
  },
  "dead-stage": {
    kind: "fault",
    what: "no signal",
    part: "contact of the connector",
    apply: (values) => withContact(values, { contactOhm: 1e12 }),
    show: ({ contact }) => quantity(contact.contactOhm, "Ω"),
  },
  "dirty-contact": {
    kind: "fault",
    what: "dirty switch or connector contact",
    part: "voltage held back by the film on the contact",
    apply: (values, severity) =>
      withContact(values, {
        filmV: interpolateGeometric(0.5e-3, 20e-3, severity),
        flutter: interpolateGeometric(0.02, 0.3, severity),
      }),
    show: ({ contact }) => quantity(contact.filmV, "V"),
  },
  "supply-ripple": {
    kind: "fault",
    what: "supply ripple, local decoupling gone",
    part: "decoupling capacitor",
    apply: (values, severity) => {
      const { supply } = values;
      const decouplingFarad = supply.decouplingFarad * interpolateGeometric(0.02, 0.001, severity);
      // The heat that dries out one capacitor dries out the regulator's as well, so the ripple is
      // higher to start with.
      const rippleV = supply.rippleV * interpolateGeometric(1, 10, severity);
      return { ...values, supply: { ...supply, decouplingFarad, rippleV } };
    },
    show: ({ supply }) => quantity(supply.decouplingFarad, "F"),
  },
  "open-shield": {
    kind: "fault",
    what: "hum, shield open",
    part: "mains voltage between the legs",
    apply: (values, severity) => {
      const atLine = interpolateGeometric(80e-6, 8e-3, severity);
      const differentialV = isMic(values) ? atLine / 100 : atLine;
      return { ...values, cable: { ...values.cable, differentialV } };
    },
    show: ({ cable }) => quantity(cable.differentialV, "V"),
  },
  oscillation: {
    kind: "fault",
    what: "high-frequency oscillation",
    part: "oscillation of the gain stage",
    apply: (values, severity) =>
      withAmplifier(values, { oscillationV: interpolateGeometric(0.15, 3, severity) }),
    show: ({ gain }) => quantity(gain.amplifier.oscillationV, "V"),
  },
  crossover: {
    kind: "fault",
    what: "crossover distortion",
    part: "gap of the output stage",
    apply: (values, severity) =>
      withAmplifier(values, { crossoverV: interpolateGeometric(0.3e-3, 30e-3, severity) }),
    show: ({ gain }) => quantity(gain.amplifier.crossoverV, "V"),
  },
  ...settings,
} satisfies Record<string, Fault<PathValues>>;

/** Faults of the stage that all strips share. */
export const masterFaults = {
  "supply-ripple": {
    kind: "fault",
    what: "supply ripple in the output stage, decoupling gone",
    part: "decoupling capacitor of the output stage",
    apply: (values, severity) => {
      const { supply } = values;
      const decouplingFarad = supply.decouplingFarad * interpolateGeometric(0.02, 0.001, severity);
      return { ...values, supply: { ...supply, decouplingFarad } };
    },
    show: ({ supply }) => quantity(supply.decouplingFarad, "F"),
  },
  "missing-rail": {
    kind: "fault",
    what: "early one-sided clipping of the output stage",
    part: "rails of the output stage",
    apply: (values, severity) => ({
      ...values,
      amplifier: { ...values.amplifier, railHighV: interpolateGeometric(11, 4, severity) },
    }),
    show: ({ amplifier }) => rails(amplifier),
  },
  "dried-coupling": {
    kind: "fault",
    what: "dried output coupling capacitor",
    part: "output coupling capacitor",
    apply: (values, severity) => ({ ...values, coupling: dried(values.coupling, severity) }),
    show: ({ coupling }) => quantity(coupling.farad, "F"),
  },
} satisfies Record<string, Fault<MasterValues>>;

export type FaultName = keyof typeof faults;
export type MasterFaultName = keyof typeof masterFaults;

/** Puts a fault into a path. @throws DeskroundError when there is no fault of that name */
export function applyFault(values: PathValues, name: string, severity: number): PathValues {
  return faultOf<PathValues>(faults, name).apply(values, severity);
}

/** Puts a fault into the shared stage. @throws DeskroundError as above */
export function applyMasterFault(
  values: MasterValues,
  name: string,
  severity: number,
): MasterValues {
  return faultOf<MasterValues>(masterFaults, name).apply(values, severity);
}

function faultOf<Values>(
  known: Readonly<Record<string, Fault<Values>>>,
  name: string,
): Fault<Values> {
  if (Object.hasOwn(known, name)) return known[name];
  throw new DeskroundError(
    "usage",
    `The virtual desk knows no fault “${name}” there.`,
    `Known: ${Object.keys(known).join(", ")}.`,
  );
}

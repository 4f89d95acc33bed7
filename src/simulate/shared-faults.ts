import { DeskroundError } from "../errors.js";
import { interpolateGeometric } from "./fault.js";
import { quantity } from "./quantity.js";
import { computeMixOhm } from "./shared-parts.js";
import type { Bank, SharedParts } from "./shared-types.js";
import type {
  Amplifier,
  InterfaceValues,
  MasterValues,
  PathValues,
  PlacedSharedFault,
  VirtualDesk,
} from "./types.js";

/** What a shared fault strikes: a named bank of a kind, some strips, an input, or the whole desk. */
export type SharedReach = "feed" | "ribbon" | "group" | "strips" | "input" | "desk" | "turn";

/** What can be wrong with a part that paths share, as a change of its value. */
export interface VirtualSharedFault {
  readonly reach: SharedReach;
  /** Plain words. */
  readonly what: string;
  /** The part whose value changes. */
  readonly part: string;
  readonly apply: (desk: VirtualDesk, severity: number, placed: PlacedSharedFault) => VirtualDesk;
  /** The changed value in words. */
  readonly show: (desk: VirtualDesk, placed: PlacedSharedFault) => string;
}

/** Faults and settings of the parts that paths share. */
export const sharedFaults = {
  "feed-smoothing-dried": {
    reach: "feed",
    what: "smoothing capacitor of a supply feed dried",
    part: "smoothing capacitor of the feed",
    apply: onBank("feeds", (feed, severity) => ({
      ...feed,
      smoothingFarad: feed.smoothingFarad * interpolateGeometric(0.08, 0.008, severity),
    })),
    show: ofBank("feeds", ({ smoothingFarad }) => quantity(smoothingFarad, "F")),
  },
  "feed-capacitors-dried": {
    reach: "feed",
    what: "reservoir and smoothing capacitor of a supply feed dried",
    part: "reservoir of the feed",
    // Below a seventh the reservoir would run empty between two pulses of the rectifier.
    apply: onBank("feeds", (feed, severity) => ({
      ...feed,
      reservoirFarad: feed.reservoirFarad * interpolateGeometric(0.5, 0.15, severity),
      smoothingFarad: feed.smoothingFarad * interpolateGeometric(0.08, 0.008, severity),
    })),
    show: ofBank("feeds", ({ reservoirFarad }) => quantity(reservoirFarad, "F")),
  },
  "feed-rails-low": {
    reach: "feed",
    what: "rails of a supply feed low",
    part: "rails of the feed",
    apply: onBank("feeds", (feed, severity) => ({
      ...feed,
      railV: interpolateGeometric(4, 2, severity),
    })),
    show: ofBank("feeds", ({ railV }) => `±${railV.toPrecision(2)} V`),
  },
  "ribbon-contacts-tarnished": {
    reach: "ribbon",
    what: "contacts of a ribbon tarnished, or not pushed home",
    part: "contact resistance of the ribbon",
    apply: onBank("ribbons", (ribbon, severity) => ({
      ...ribbon,
      contactOhm: interpolateGeometric(4e3, 60e3, severity),
    })),
    show: ofBank("ribbons", ({ contactOhm }) => quantity(contactOhm, "Ω")),
  },
  "ribbon-ground-open": {
    reach: "ribbon",
    what: "ground wire of a ribbon open",
    part: "mains voltage between the strips' ground and the bus",
    apply: onBank("ribbons", (ribbon, severity) => ({
      ...ribbon,
      groundV: interpolateGeometric(100e-6, 10e-3, severity),
    })),
    show: ofBank("ribbons", ({ groundV }) => quantity(groundV, "V")),
  },
  "group-resistor-open": {
    reach: "group",
    what: "one of a group's two resistors to the mix bus open",
    part: "resistance from the group to the mix bus",
    apply: onBank("groups", (group) => ({
      ...group,
      mixOhms: [group.mixOhms[0], Number.POSITIVE_INFINITY],
    })),
    show: ofBank("groups", (group) => quantity(computeMixOhm(group), "Ω")),
  },
  "group-resistor-high": {
    reach: "group",
    what: "one of a group's two resistors to the mix bus high",
    part: "resistance from the group to the mix bus",
    apply: onBank("groups", (group, severity) => ({
      ...group,
      mixOhms: [group.mixOhms[0], group.mixOhms[1] * interpolateGeometric(2.5, 20, severity)],
    })),
    show: ofBank("groups", (group) => quantity(computeMixOhm(group), "Ω")),
  },
  "group-noise": {
    reach: "group",
    what: "noisy amplifier of a group",
    part: "voltage noise of the group's amplifier",
    apply: onBank("groups", (group, severity) => ({
      ...group,
      noiseV: group.noiseV * interpolateGeometric(10, 100, severity),
    })),
    show: ofBank("groups", ({ noiseV }) => quantity(noiseV, "V/√Hz")),
  },
  "batch-distorting": {
    reach: "strips",
    what: "a batch of op amps that bends more",
    part: "curvature of the gain stages",
    apply: onPaths((values, severity) => {
      const more = interpolateGeometric(6, 40, severity);
      const { second, third } = values.gain.amplifier;
      return withAmplifier(values, { second: second * more, third: third * more });
    }),
    show: ofPaths(({ gain }) => gain.amplifier.second.toPrecision(2)),
  },
  "batch-noisy": {
    reach: "strips",
    what: "a batch of noisy op amps",
    part: "voltage noise of the gain stages",
    // As for a single strip: a line stage has the noise of the bus to drown out.
    apply: onPaths((values, severity) => {
      const isMic = values.receiver.kind === "pair";
      const more = isMic
        ? interpolateGeometric(4, 20, severity)
        : interpolateGeometric(25, 150, severity);
      return withAmplifier(values, { noiseV: values.gain.amplifier.noiseV * more });
    }),
    show: ofPaths(({ gain }) => quantity(gain.amplifier.noiseV, "V/√Hz")),
  },
  "input-hum": {
    reach: "input",
    what: "hum on an input of all strips, shield of its loom open",
    part: "mains voltage between the legs",
    apply: onPaths((values, severity) => {
      const atLine = interpolateGeometric(1e-3, 30e-3, severity);
      const differentialV = values.receiver.kind === "pair" ? atLine / 100 : atLine;
      return { ...values, cable: { ...values.cable, differentialV } };
    }),
    show: ofPaths(({ cable }) => quantity(cable.differentialV, "V")),
  },
  "input-level-off": {
    reach: "input",
    what: "an input of all strips fed too low, by a wrong pad or cable",
    part: "gain of the pad",
    apply: onPaths((values, severity) => ({
      ...values,
      padGain: values.padGain * interpolateGeometric(0.5, 0.2, severity),
    })),
    show: ofPaths(({ padGain }) => `${(20 * Math.log10(padGain)).toFixed(1)} dB`),
  },
  "input-noise": {
    reach: "input",
    what: "noise on an input of all strips, from its common supply",
    part: "voltage noise at the input devices",
    apply: onPaths((values, severity) => {
      const isMic = values.receiver.kind === "pair";
      const more = isMic
        ? interpolateGeometric(8, 60, severity)
        : interpolateGeometric(60, 600, severity);
      return withAmplifier(values, { noiseV: values.gain.amplifier.noiseV * more });
    }),
    show: ofPaths(({ gain }) => quantity(gain.amplifier.noiseV, "V/√Hz")),
  },
  "bus-noise": {
    reach: "desk",
    what: "noisy summing amplifier",
    part: "voltage noise of the summing amplifier",
    apply: onMaster((master, severity) => ({
      ...master,
      summingNoiseV: master.summingNoiseV * interpolateGeometric(12, 120, severity),
    })),
    show: ({ master }) => quantity(master.summingNoiseV, "V/√Hz"),
  },
  "bus-treble-loss": {
    reach: "desk",
    what: "high-frequency loss of the summing amplifier",
    part: "capacitance across the summing amplifier's feedback",
    apply: onMaster((master, severity) => ({
      ...master,
      summingFeedbackFarad: interpolateGeometric(1.6e-9, 8e-9, severity),
    })),
    show: ({ master }) => quantity(master.summingFeedbackFarad ?? 0, "F"),
  },
  "master-bass-loss": {
    reach: "desk",
    what: "output coupling capacitor dried",
    part: "output coupling capacitor",
    apply: onMaster((master, severity) => ({
      ...master,
      coupling: {
        ...master.coupling,
        farad: master.coupling.farad * interpolateGeometric(0.03, 0.004, severity),
      },
    })),
    show: ({ master }) => quantity(master.coupling.farad, "F"),
  },
  "master-clipping": {
    reach: "desk",
    what: "early clipping of the output stage, both rails low",
    part: "rails of the output stage",
    apply: onMaster((master, severity) => {
      const railV = interpolateGeometric(6.8, 3, severity);
      return withMasterAmplifier(master, { railHighV: railV, railLowV: -railV });
    }),
    show: ({ master }) => `±${master.amplifier.railHighV.toPrecision(2)} V`,
  },
  "master-rail-missing": {
    reach: "desk",
    what: "early one-sided clipping of the output stage",
    part: "positive rail of the output stage",
    apply: onMaster((master, severity) =>
      withMasterAmplifier(master, { railHighV: interpolateGeometric(6.8, 3, severity) }),
    ),
    show: ({ master }) => `+${master.amplifier.railHighV.toPrecision(2)} V`,
  },
  "master-distortion": {
    reach: "desk",
    what: "output stage that bends",
    part: "curvature of the output stage",
    apply: onMaster((master, severity) => {
      const more = interpolateGeometric(150, 1500, severity);
      const { second, third } = master.amplifier;
      return withMasterAmplifier(master, { second: second * more, third: third * more });
    }),
    show: ({ master }) => master.amplifier.second.toPrecision(2),
  },
  "master-ripple": {
    reach: "desk",
    what: "supply ripple in the output stage, decoupling gone",
    part: "decoupling capacitor of the output stage",
    apply: onMaster((master, severity) => ({
      ...master,
      supply: {
        ...master.supply,
        decouplingFarad: master.supply.decouplingFarad * 0.003,
        rippleV: master.supply.rippleV * interpolateGeometric(8, 60, severity),
      },
    })),
    show: ({ master }) => quantity(master.supply.decouplingFarad, "F"),
  },
  "desk-reservoir-dried": {
    reach: "desk",
    what: "reservoir of the desk's supply dried",
    part: "capacitance left in the reservoir of the supply",
    apply: (desk, severity) => {
      const left = interpolateGeometric(0.1, 0.015, severity);
      const { supply } = desk.master;
      return {
        ...desk,
        master: { ...desk.master, supply: { ...supply, rippleV: supply.rippleV / left } },
        sharedParts: { ...desk.sharedParts, reservoirLeft: left },
      };
    },
    show: ({ sharedParts }) => `${(100 * sharedParts.reservoirLeft).toPrecision(2)} %`,
  },
  "desk-rails-low": {
    reach: "desk",
    what: "rails of the whole desk low",
    part: "rails of the supply",
    apply: (desk, severity) => {
      const railV = interpolateGeometric(6.8, 3, severity);
      const low = (amplifier: Amplifier) => ({
        railHighV: Math.min(railV, amplifier.railHighV),
        railLowV: Math.max(-railV, amplifier.railLowV),
      });
      return {
        ...desk,
        master: withMasterAmplifier(desk.master, low(desk.master.amplifier)),
        paths: mapPaths(desk, (values) => withAmplifier(values, low(values.gain.amplifier))),
      };
    },
    show: ({ master }) => `±${master.amplifier.railHighV.toPrecision(2)} V`,
  },
  "earth-lifted": {
    reach: "desk",
    what: "earth lead lifted",
    part: "voltage between the grounds of desk and interface",
    apply: (desk, severity) => ({
      ...desk,
      sharedParts: { ...desk.sharedParts, earthV: interpolateGeometric(5e-3, 0.3, severity) },
    }),
    show: ({ sharedParts }) => quantity(sharedParts.earthV, "V"),
  },
  "interface-hum": {
    reach: "desk",
    what: "mains hum of the interface",
    part: "mains voltage at the interface's input",
    apply: onInterface((values, severity) => ({
      ...values,
      humV: interpolateGeometric(5e-3, 0.3, severity),
    })),
    show: (desk) => quantity(desk.interface.humV ?? 0, "V"),
  },
  "interface-noise": {
    reach: "desk",
    what: "noisy input of the interface",
    part: "voltage noise of the interface's input",
    apply: onInterface((values, severity) => ({
      ...values,
      inputNoiseV: values.inputNoiseV * interpolateGeometric(12, 120, severity),
    })),
    show: (desk) => quantity(desk.interface.inputNoiseV, "V/√Hz"),
  },
  "interface-bass-loss": {
    reach: "desk",
    what: "loss of bass in the interface",
    part: "coupling capacitor of the interface's input",
    apply: onInterface((values, severity) => ({
      ...values,
      inputFarad: interpolateGeometric(0.6e-6, 0.1e-6, severity),
    })),
    show: (desk) => quantity(desk.interface.inputFarad ?? Number.POSITIVE_INFINITY, "F"),
  },
  "bad-cable": {
    reach: "desk",
    what: "bad cable to the interface",
    part: "contact of the cable",
    apply: onInterface((values, severity) => ({
      ...values,
      cable: { contactOhm: interpolateGeometric(4e3, 33e3, severity), farad: 10e-9 },
    })),
    show: (desk) => quantity(desk.interface.cable?.contactOhm ?? 0, "Ω"),
  },
  "playing-level": {
    reach: "desk",
    what: "interface's output set lower",
    part: "full scale of the interface's output",
    apply: onInterface((values, severity) => ({
      ...values,
      fullScaleDbu: values.fullScaleDbu - interpolateGeometric(2.5, 12, severity),
      inputFullScaleDbu: values.inputFullScaleDbu ?? values.fullScaleDbu,
    })),
    show: (desk) => `${desk.interface.fullScaleDbu.toFixed(1)} dBu`,
  },
  "level-touched": {
    reach: "turn",
    what: "master level touched during the round",
    part: "master level",
    apply: (desk, severity, { fromTurn = 0 }) => ({
      ...desk,
      sharedParts: {
        ...desk.sharedParts,
        masterLevel: { db: -interpolateGeometric(1.5, 12, severity), fromTurn },
      },
    }),
    show: ({ sharedParts }) => `${sharedParts.masterLevel.db.toFixed(1)} dB`,
  },
} satisfies Record<string, VirtualSharedFault>;

export type SharedFaultName = keyof typeof sharedFaults;

/**
 * Puts a fault into a part that paths share.
 *
 * @throws DeskroundError when there is no fault of that name, or none of that place
 */
export function applySharedFault(desk: VirtualDesk, placed: PlacedSharedFault): VirtualDesk {
  const known: Readonly<Record<string, VirtualSharedFault>> = sharedFaults;
  if (Object.hasOwn(known, placed.fault)) {
    return known[placed.fault].apply(desk, placed.severity, placed);
  }
  throw new DeskroundError(
    "usage",
    `The virtual desk knows no shared fault “${placed.fault}”.`,
    `Known: ${Object.keys(sharedFaults).join(", ")}.`,
  );
}

type BankKind = "feeds" | "ribbons" | "groups";
type BankOf<Kind extends BankKind> = SharedParts[Kind][number];

function onBank<Kind extends BankKind>(
  kind: Kind,
  change: (bank: BankOf<Kind>, severity: number) => BankOf<Kind>,
): VirtualSharedFault["apply"] {
  return (desk, severity, placed) => {
    const hit = findNamed(desk, kind, placed);
    const banks = (desk.sharedParts[kind] as readonly BankOf<Kind>[]).map((bank) =>
      bank === hit ? change(bank, severity) : bank,
    );
    return { ...desk, sharedParts: { ...desk.sharedParts, [kind]: banks } };
  };
}

function ofBank<Kind extends BankKind>(
  kind: Kind,
  words: (bank: BankOf<Kind>) => string,
): VirtualSharedFault["show"] {
  return (desk, placed) => words(findNamed(desk, kind, placed));
}

function findNamed<Kind extends BankKind>(
  { sharedParts }: VirtualDesk,
  kind: Kind,
  { fault, at }: PlacedSharedFault,
): BankOf<Kind> {
  const banks = sharedParts[kind] as readonly BankOf<Kind>[];
  const hit = banks.find(({ name }) => name === at);
  if (hit !== undefined) return hit;
  const names = banks.map(({ name }: Bank) => name);
  throw new DeskroundError(
    "usage",
    `The virtual desk has no “${at}” for the shared fault “${fault}”.`,
    names.length === 0 ? `It has no ${kind}.` : `Its ${kind}: ${names.join(", ")}.`,
  );
}

function onPaths(
  change: (values: PathValues, severity: number) => PathValues,
): VirtualSharedFault["apply"] {
  return (desk, severity, placed) => {
    const hit = new Set(hitPaths(desk, placed));
    const changed = (values: PathValues, path: string) =>
      hit.has(path) ? change(values, severity) : values;
    return { ...desk, paths: mapPaths(desk, changed) };
  };
}

function ofPaths(words: (values: PathValues) => string): VirtualSharedFault["show"] {
  return (desk, placed) => words(desk.paths[hitPaths(desk, placed)[0]]);
}

/** All inputs of the strips of a batch, or one input of all strips. */
function hitPaths({ paths }: VirtualDesk, { fault, strips, at }: PlacedSharedFault) {
  const hit = Object.keys(paths).filter((path) => {
    const [strip, input] = path.split("/");
    return strips === undefined ? input === at : strips.includes(Number(strip));
  });
  if (hit.length > 0) return hit;
  throw new DeskroundError(
    "usage",
    `The virtual desk has no path for the shared fault “${fault}” at ${at ?? `strips ${strips}`}.`,
    "Name the strips of a batch, or an input.",
  );
}

function mapPaths(
  { paths }: VirtualDesk,
  change: (values: PathValues, path: string) => PathValues,
): VirtualDesk["paths"] {
  return Object.fromEntries(
    Object.entries(paths).map(([path, values]) => [path, change(values, path)]),
  );
}

function onMaster(
  change: (master: MasterValues, severity: number) => MasterValues,
): VirtualSharedFault["apply"] {
  return (desk, severity) => ({ ...desk, master: change(desk.master, severity) });
}

function onInterface(
  change: (values: InterfaceValues, severity: number) => InterfaceValues,
): VirtualSharedFault["apply"] {
  return (desk, severity) => ({ ...desk, interface: change(desk.interface, severity) });
}

function withAmplifier(values: PathValues, change: Partial<Amplifier>): PathValues {
  const { gain } = values;
  return { ...values, gain: { ...gain, amplifier: { ...gain.amplifier, ...change } } };
}

function withMasterAmplifier(master: MasterValues, change: Partial<Amplifier>): MasterValues {
  return { ...master, amplifier: { ...master.amplifier, ...change } };
}

import type { RoundShared } from "../../history/types.js";
import { getReadingId, getReadingName } from "../../measure/reading-kinds.js";
import type {
  SharedAspect,
  SharedFinding,
  SharedPart,
  SharedPartKind,
} from "../../rank/shared/types.js";
import { formatCount } from "../../text/format-count.js";
import { formatHertz } from "../../text/format-hertz.js";

/** Names for parts without a name of their own. */
const kindNames: Readonly<Record<SharedPartKind, string>> = {
  supply: "a supply feed",
  ribbon: "a ribbon cable",
  group: "a group",
  bank: "what these strips share",
  input: "an input of all strips",
  family: "a family of paths",
  bus: "the mix bus",
  master: "master section, mix bus or interface",
  "desk-supply": "the supply of the desk",
  output: "an output of the interface or its cable",
  interface: "the interface",
  mains: "earth, mains or interface",
  level: "the playing or recording level",
};

/** The part that paths share: "supply feed 2 (strips 5 to 8)". */
export function formatSharedPart(part: SharedPart): string {
  const whole = formatWholePart(part);
  return part.side === undefined ? whole : `the ${part.side} side of ${whole}`;
}

function formatWholePart({ kind, name, strips }: SharedPart): string {
  if (kind === "input") return `the ${name} input of all strips`;
  if (kind === "family") return `all ${name} paths`;
  if (name === undefined && strips !== undefined) return `strips ${formatStrips(strips)}`;
  const own = name ?? kindNames[kind];
  return strips === undefined ? own : `${own} (strips ${formatStrips(strips)})`;
}

/** "5 to 8" for consecutive numbers; otherwise a list. */
function formatStrips(strips: readonly string[]): string {
  const follow = strips.every((strip, i) => i === 0 || Number(strip) === Number(strips[i - 1]) + 1);
  return follow && strips.length > 2 ? `${strips[0]} to ${strips.at(-1)}` : strips.join(", ");
}

const otherSide: Readonly<Record<RoundShared["against"], string>> = {
  siblings: "that of the other strips",
  expectation: "what is expected of such a desk",
  baseline: "the earlier round",
  "reference-path": "what it was before",
  "other-side": "that of the other side",
};

/** What a shared fault shows: "hum, even lines 31 dB above that of the other strips". */
export function formatSharedFinding(
  { reading, deviation, unit, atHz, toneHz }: SharedFinding,
  against: RoundShared["against"],
): string {
  if (reading === "return") return "nothing of the signal comes back";
  if (reading === getReadingId("polarity")) return "polarity reversed";
  const name = getReadingName(reading);
  const size = Math.abs(deviation);
  const figure = size < 9.95 ? size.toFixed(1) : size.toFixed(0);
  const side = deviation > 0 ? "above" : "below";
  const at = atHz === undefined ? "" : ` at ${formatHertz(atHz)}`;
  const isTone = reading === getReadingId("stray-tone");
  const tone =
    toneHz === undefined
      ? ""
      : `, ${isTone ? "" : "mostly a steady tone "}at ${formatHertz(toneHz)}`;
  return `${name}${at} ${figure} ${unit} ${side} ${otherSide[against]}${tone}`;
}

/** A shared fault in one clause, the part first. */
export function formatSharedFault({
  part,
  paths,
  findings,
  against,
  reference,
}: RoundShared): string {
  const [first] = findings;
  const isTouched =
    part.kind === "level" && (against === "siblings" || against === "reference-path");
  const told =
    first === undefined
      ? "differs"
      : formatSharedFinding(first, isTouched ? "reference-path" : against);
  if (isTouched) {
    return `level changed during the round, from ${paths[0]} on in the order of recording, ${told}${formatReferenceSide(reference)}`;
  }
  if (against === "reference-path") {
    return `${formatSharedPart(part)}: on the reference path, ${told}; what the paths add themselves hides it`;
  }
  const where = part.strips === undefined ? `, ${formatCount(paths.length, "path")}` : "";
  return `${formatSharedPart(part)}${where}: ${told}${formatReferenceSide(reference)}`;
}

/** What the path past all strips shows of it: "; the reference path does not show it". */
function formatReferenceSide(reference: RoundShared["reference"]): string {
  if (reference === undefined) return "";
  return {
    shows: "; the reference path shows it too",
    partly: "; the reference path shows part of it",
    clean: "; the reference path does not show it",
  }[reference];
}

/** What to check, by what is wrong: for parts after the strips, and in general. */
const looks: Readonly<Record<SharedAspect, string>> = {
  dead: "Check their supply and connectors: a fuse, a ribbon not pushed home, the bus assignment",
  polarity: "Check the wiring of the plug or socket that they share, and the run sheet",
  level:
    "Check the level controls of interface and master, the run sheet, then the part's contacts and resistors",
  bass: "Check the coupling capacitors after the strips, the cable and the interface's input",
  treble:
    "Check the cable and the socket to the interface, then the amplifier's feedback capacitor",
  noise:
    "Short the interface's input and record: the noise that is left is the interface's own; then check the amplifier that these paths share",
  "hum-odd":
    "Check the earth lead, the cable's shield and the interface's own supply before the desk",
  "hum-even":
    "Measure the ripple of the supply with an oscilloscope, AC coupled; then check reservoir and smoothing capacitors and the regulator",
  distortion:
    "Check the playing level and the run sheet, then the amplifiers that these paths share",
  clipping: "Check the playing level, then measure the supply rails of the part",
};

/**
 * The same for noise that is a steady tone, which most often comes from something near the desk.
 */
const lookOfTone =
  "Switch off, one after the other, whatever may cause a steady tone (screens, chargers, switching supplies, dimmers), and record; if it stays, short the interface's input and record: a tone that is left is the interface's own; otherwise look for an amplifier that oscillates";

/** The same for what only some strips share, never for what is common to all. */
const looksOfStrips: Readonly<Record<SharedAspect, string>> = {
  dead: looks.dead,
  polarity: looks.polarity,
  level:
    "Check the contacts that these strips share, above all for a ribbon not pushed home, then the resistors from their group to the mix bus, and how they were set",
  bass: "Check the coupling capacitors of the group that these strips feed",
  treble: "Check the ribbon and the group amplifier that these strips share",
  noise: "Check the group amplifier and the supply that these strips share, or parts of one batch",
  "hum-odd": "Check the ground wire of the ribbon and the earth leads of these strips",
  "hum-even": looks["hum-even"],
  distortion: "Check the supply rails that these strips share, or parts of one batch in them",
  clipping: "Measure the supply rails that these strips share",
};

/** The same for one output of the interface: everything before the strips' sockets. */
const looksOfOutput =
  "Not the strips: feed one of them from another output; a fault that goes away is in the output or its cable. Replace the cable first";

const ofStrips: ReadonlySet<SharedPartKind> = new Set(["supply", "ribbon", "group", "bus", "bank"]);

/** Advice for strips without a named part, and the aspects in which makes of strips differ. */
const orMakes = "if they are of another make, say so in desk.yaml with `families`";
const aspectsOfMakes: ReadonlySet<SharedAspect> = new Set(["noise", "distortion", "clipping"]);

/** The same if the reference path shows on which side of its entry the fault is. */
function looksByReference(
  aspect: SharedAspect,
  reference: RoundShared["reference"],
): string | undefined {
  if (reference === "clean") {
    return aspect === "level"
      ? "Not the interface or the master output: check the run sheet, the level before the mix insert, then the summing amplifier"
      : "Not the interface, its cable or the master output: check the mix bus and its summing amplifier, then what feeds all strips";
  }
  if (reference === "shows" && (aspect === "noise" || aspect === "distortion")) {
    return "Not the strips: connect the interface's output to its input and record; what is left comes from the interface, the rest from the cable and the master output";
  }
  return undefined;
}

function lookOfStrips({ kind, name }: SharedPart, aspect: SharedAspect): string {
  const isUnknown = kind === "bank" && name === undefined;
  return isUnknown && aspectsOfMakes.has(aspect)
    ? `${looksOfStrips[aspect]}; ${orMakes}`
    : looksOfStrips[aspect];
}

/** Separates the desk from what comes after it, if only one side is faulty (common practice). */
const exchangeSides =
  "Swap the plugs of both sides at the interface: a fault that changes sides is in the desk or its cable, one that stays is in the interface";

const licensed = "leave supply and mains work to licensed people, under local codes";

/** What to check first, as an instruction, with a caution if it goes near the mains. */
export function formatSharedLook({
  part,
  aspect,
  reference,
  findings,
}: Pick<RoundShared, "part" | "aspect" | "reference" | "findings">): string {
  const nearMains =
    part.kind === "supply" ||
    part.kind === "desk-supply" ||
    part.kind === "mains" ||
    aspect === "clipping" ||
    aspect === "hum-even";
  if (part.kind === "output") return `${looksOfOutput}.`;
  const isTone = findings[0]?.toneHz !== undefined && !ofStrips.has(part.kind);
  const look =
    (isTone ? lookOfTone : undefined) ??
    (part.kind === "input" || part.kind === "family"
      ? undefined
      : looksByReference(aspect, reference)) ??
    (ofStrips.has(part.kind) ? lookOfStrips(part, aspect) : looks[aspect]);
  const first = part.side === undefined ? "" : `${exchangeSides}. `;
  return nearMains ? `${first}${look}; ${licensed}.` : `${first}${look}.`;
}

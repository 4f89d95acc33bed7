import type { Cause } from "./types.js";

/** The stages that a strip's signal passes, in order, as the desk file or the default has them. */
export interface Flow {
  /** Of one input alone, from its socket to where the inputs join. */
  readonly own: (input: string) => readonly string[];
  /** Of the strip, from there to the bus. */
  readonly joined: readonly string[];
  /** What groups of strips share: name to strips. */
  readonly shared: readonly { readonly name: string; readonly strips: readonly string[] }[];
}

/** A desk whose file says nothing of its flow (common practice). */
export const usualFlow: Flow = {
  own: (input) => [`${input} socket`, `${input} input stage`, "input switch"],
  joined: ["low-cut", "equaliser", "insert jack", "fader", "pan and bus resistors"],
  shared: [],
};

/** A path as far as the reasoning across paths needs it. */
export interface PlacedPath {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  /** Whether it was measured or known to be silent: what was not recorded says nothing. */
  readonly judged: boolean;
  readonly causes: readonly Cause[];
}

/** Where to look, path by path, and what several strips have in common. */
export interface Places {
  /** Path to a sentence for its first cause. */
  readonly where: ReadonlyMap<string, string>;
  /** Sentences about groups of strips. */
  readonly remarks: readonly string[];
}

/** A cause is counted on a path when it is more likely than not. */
const counted = 0.5;
/** So many neighbours with one cause are no accident. */
const leastNeighbours = 3;
/** With this share of all strips a cause sits in what all of them share. */
const nearlyAll = 0.6;

/**
 * Reasons across paths: a fault on every input of a strip sits after the inputs join, on one input
 * alone before it; the same fault on neighbouring strips points to what they share, on nearly all
 * strips to the master section, the interface or the run sheet.
 *
 * @param paths in the desk's physical order of strips
 * @param flow stages and shared parts
 */
export function placesOf(paths: readonly PlacedPath[], flow: Flow = usualFlow): Places {
  const where = new Map<string, string>();
  for (const path of paths) {
    const cause = firstCause(path);
    if (cause === undefined) continue;
    const sentence = withinStrip(path, cause, paths, flow);
    if (sentence) where.set(path.path, sentence);
  }
  return { where, remarks: acrossStrips(paths, flow) };
}

function firstCause({ causes }: PlacedPath): Cause | undefined {
  const [first] = causes;
  return first && (first.probability ?? 1) >= counted ? first : undefined;
}

function withinStrip(
  path: PlacedPath,
  { cause }: Cause,
  paths: readonly PlacedPath[],
  flow: Flow,
): string | undefined {
  const others = paths.filter((p) => p.strip === path.strip && p !== path && p.judged);
  if (others.length === 0) return undefined;
  const alike = others.filter((p) => firstCause(p)?.cause === cause);
  const own = flow.own(path.input).join(", ");
  if (alike.length === others.length) {
    return `on every input of the strip: after they join (${flow.joined.join(", ")})`;
  }
  if (alike.length === 0) return `on this input alone: before the inputs join (${own})`;
  const names = [path, ...alike].map((p) => p.input).join(" and ");
  return `on ${names} but not on the others: in what these share`;
}

function acrossStrips(paths: readonly PlacedPath[], flow: Flow): readonly string[] {
  const remarks: string[] = [];
  const strips = [...new Set(paths.filter((p) => p.judged).map((p) => p.strip))];
  const names = new Map<string, { name: string; hit: Set<string> }>();
  for (const path of paths) {
    const cause = firstCause(path);
    if (!cause) continue;
    const entry = names.get(cause.cause) ?? { name: cause.name, hit: new Set<string>() };
    entry.hit.add(path.strip);
    names.set(cause.cause, entry);
  }
  for (const { name, hit } of names.values()) {
    if (hit.size >= leastNeighbours && hit.size >= nearlyAll * strips.length) {
      remarks.push(
        `${hit.size} of ${strips.length} strips show: ${name}. Look at what all share: the master section, the interface, the run sheet.`,
      );
      continue;
    }
    for (const { name: part, strips: members } of flow.shared) {
      const inside = members.filter((strip) => hit.has(strip));
      if (inside.length >= leastNeighbours && inside.length >= nearlyAll * members.length) {
        remarks.push(`Strips ${inside.join(", ")} show: ${name}. They share ${part}.`);
      }
    }
    for (const run of runs(strips, hit)) {
      if (run.length < leastNeighbours) continue;
      remarks.push(
        `Neighbouring strips ${run[0]} to ${run.at(-1)} show: ${name}. Look at what they share: a supply feed, a ribbon cable, a bus.`,
      );
    }
  }
  return remarks;
}

/** Stretches of neighbouring strips that are all in a set. */
function runs(strips: readonly string[], hit: ReadonlySet<string>): readonly (readonly string[])[] {
  const found: string[][] = [];
  let run: string[] = [];
  for (const strip of strips) {
    if (hit.has(strip)) run.push(strip);
    else if (run.length > 0) {
      found.push(run);
      run = [];
    }
  }
  if (run.length > 0) found.push(run);
  return found;
}

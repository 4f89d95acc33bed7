import type { DeskFlow } from "../desk/types.js";
import { noneOfThese } from "./causes/none-of-these.js";
import { wrongPathRecorded } from "./causes/wrong-path-recorded.js";
import type { Cause } from "./types.js";

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
/** Of this many strips, nearly all may still be an accident. */
const leastStrips = 3;

/**
 * Reasons across paths: a fault on every input of a strip sits in a stage that all of them pass, on
 * one input alone in a stage that no sound input passes; the same fault on neighbouring strips
 * points to what they share, on nearly all strips to the master section, the interface or the run
 * sheet.
 *
 * @param paths in the desk's physical order of strips
 * @param flow stages and shared parts
 */
export function locateFaults(paths: readonly PlacedPath[], flow: DeskFlow): Places {
  const where = new Map<string, string>();
  for (const path of paths) {
    const cause = firstCause(path);
    if (cause === undefined) continue;
    const sentence =
      cause.kind === "fault" || cause.kind === "setting"
        ? withinStrip(path, cause, paths, flow)
        : changedOver(path, cause, paths);
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
  flow: DeskFlow,
): string | undefined {
  const { others, alike, sound, ill, suspects } = compareInputs(path, cause, paths, flow);
  if (others.length === 0) return undefined;
  const places = suspects.length > 0 ? ` (${suspects.join(", ")})` : "";
  if (sound.length === 0 && alike.length === others.length) {
    return `on every input of the strip: after they join${places}`;
  }
  if (alike.length === 0 && sound.length === others.length) {
    return `on this input alone: before the inputs join${places}`;
  }
  if (sound.length === 0) return undefined;
  const names = inOrder(ill, flow).join(" and ");
  return suspects.length > 0
    ? `on ${names} but not on ${sound.join(" and ")}: in what only these share${places}`
    : `on ${names} but not on ${sound.join(" and ")}: in what these share, or in each individually`;
}

/** Inputs of a path's strip that have its cause, and those that do not, with the stages between. */
function compareInputs(
  path: PlacedPath,
  cause: string,
  paths: readonly PlacedPath[],
  flow: DeskFlow,
) {
  const others = paths.filter((p) => p.strip === path.strip && p !== path && p.judged);
  const shows = (p: PlacedPath) => p.causes.some((c) => c.cause === cause);
  const alike = others.filter((p) => firstCause(p)?.cause === cause);
  const sound = others.filter((p) => !shows(p)).map(({ input }) => input);
  const ill = [path, ...alike].map(({ input }) => input);
  return { others, alike, sound, ill, suspects: stagesOf(flow, ill, sound) };
}

/**
 * Stages in which the first cause of a path can sit: those that all inputs with it pass and no sound
 * input of the strip does, in the order of the signal.
 *
 * @returns none where nothing of the kind can be said
 */
export function listSuspectStages(
  path: PlacedPath,
  paths: readonly PlacedPath[],
  flow: DeskFlow,
): readonly string[] {
  const cause = firstCause(path);
  return cause === undefined ? [] : compareInputs(path, cause.cause, paths, flow).suspects;
}

/** Two paths of a strip that each look like another's were most likely changed over. */
function changedOver(path: PlacedPath, { cause }: Cause, paths: readonly PlacedPath[]) {
  const other = paths.find(
    (p) => p.strip === path.strip && p !== path && firstCause(p)?.cause === cause,
  );
  if (cause !== wrongPathRecorded.id || other === undefined) return undefined;
  return `${other.path} is assigned to another path too: most likely the two takes are swapped`;
}

/** Stages that all ill inputs pass and no sound one, in the order of the signal. */
function stagesOf(
  { stages }: DeskFlow,
  ill: readonly string[],
  sound: readonly string[],
): readonly string[] {
  const passes = (input: string, stage: string) => stages[input]?.includes(stage) ?? false;
  return (stages[ill[0]] ?? []).filter(
    (stage) =>
      ill.every((input) => passes(input, stage)) && !sound.some((input) => passes(input, stage)),
  );
}

function inOrder(inputs: readonly string[], { stages }: DeskFlow): readonly string[] {
  const order = Object.keys(stages);
  return [...inputs].sort((a, b) => order.indexOf(a) - order.indexOf(b));
}

function acrossStrips(paths: readonly PlacedPath[], flow: DeskFlow): readonly string[] {
  const remarks: string[] = [];
  const strips = [...new Set(paths.filter((p) => p.judged).map((p) => p.strip))];
  const names = new Map<string, { cause: Cause; hit: Set<string> }>();
  for (const path of paths) {
    const cause = firstCause(path);
    if (!cause || cause.cause === noneOfThese.id) continue;
    const entry = names.get(cause.cause) ?? { cause, hit: new Set<string>() };
    entry.hit.add(path.strip);
    names.set(cause.cause, entry);
  }
  for (const { cause, hit } of names.values()) {
    const { name } = cause;
    if (hit.size >= leastStrips && hit.size >= nearlyAll * strips.length) {
      remarks.push(
        `${hit.size} of ${strips.length} strips show: ${name}. Look at what all share: the master section, the interface, the run sheet.`,
      );
      continue;
    }
    const told = new Set<string>();
    for (const { name: part, strips: members } of flow.shared) {
      const recorded = members.filter((strip) => strips.includes(strip));
      const inside = recorded.filter((strip) => hit.has(strip));
      if (inside.length < leastNeighbours || inside.length < nearlyAll * recorded.length) continue;
      for (const strip of inside) told.add(strip);
      const share =
        inside.length === recorded.length
          ? "They share"
          : `With ${others(recorded, hit)} they share`;
      remarks.push(`Strips ${inside.join(", ")} show: ${name}. ${share} ${part}.`);
    }
    for (const run of runs(strips, hit)) {
      if (run.length < leastNeighbours || run.every((strip) => told.has(strip))) continue;
      const advice =
        cause.kind === "fault"
          ? "Look at what they share: a supply feed, a ribbon cable, a bus."
          : "Check whether they were set or patched together.";
      remarks.push(`Neighbouring strips ${run[0]} to ${run.at(-1)} show: ${name}. ${advice}`);
    }
  }
  return remarks;
}

function others(recorded: readonly string[], hit: ReadonlySet<string>): string {
  return recorded.filter((strip) => !hit.has(strip)).join(", ");
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

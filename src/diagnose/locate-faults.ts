import type { DeskFlow } from "../desk/types.js";
import type { Remark } from "../remark.js";
import { noneOfThese } from "./causes/none-of-these.js";
import { wrongPathRecorded } from "./causes/wrong-path-recorded.js";
import type { Cause, FaultPlace } from "./types.js";

/** What the reasoning across paths needs to know of a path. */
export interface PlacedPath {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  /** Whether it was measured, or known to be silent; an unrecorded path says nothing. */
  readonly judged: boolean;
  readonly causes: readonly Cause[];
}

/** Where to look for each path, and what several strips have in common. */
export interface Places {
  /** For the first cause of each path, by path. */
  readonly where: ReadonlyMap<string, FaultPlace>;
  /** What groups of strips have in common. */
  readonly remarks: readonly Remark[];
}

/** A cause is counted on a path when it is more likely than not. */
const counted = 0.5;
/** This many neighbours with one cause are not a coincidence. */
const leastNeighbours = 3;
/** If this share of all strips has a cause, it is in something that all of them share. */
const nearlyAll = 0.6;
/** With so few strips, nearly all may still be a coincidence. */
const leastStrips = 3;

/**
 * Reasons across paths: a fault on every input of a strip is in a stage that all of them pass, a
 * fault on one input in a stage that no healthy input passes; the same fault on neighbouring strips
 * points to what they share, on nearly all strips to the master section, the interface or the run
 * sheet.
 *
 * @param paths in the desk's physical order of strips
 * @param flow stages and shared parts
 * @example
 * const flow = { stages: { mic: ["mic amplifier", "fader"], line: ["fader"] }, shared: [] };
 * const path = (input, causes) => ({ path: `7/${input}`, strip: "7", input, judged: true, causes });
 * const noisy = [{ ...describeCause(findCause("noisy-device")), evidence: [], probability: 0.9 }];
 *
 * const { where } = locateFaults([path("mic", noisy), path("line", [])], flow);
 * where.get("7/mic"); // { code: "one-input", stages: ["mic amplifier"] }
 */
export function locateFaults(paths: readonly PlacedPath[], flow: DeskFlow): Places {
  const where = new Map<string, FaultPlace>();
  for (const path of paths) {
    const cause = firstCause(path);
    if (cause === undefined) continue;
    const place =
      cause.kind === "fault" || cause.kind === "setting"
        ? withinStrip(path, cause, paths, flow)
        : changedOver(path, cause, paths);
    if (place) where.set(path.path, place);
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
): FaultPlace | undefined {
  const { others, alike, sound, ill, suspects: stages } = compareInputs(path, cause, paths, flow);
  if (others.length === 0) return undefined;
  if (alike.length === others.length) return { code: "every-input", stages };
  if (sound.length === others.length) return { code: "one-input", stages };
  if (sound.length === 0) return undefined;
  return { code: "some-inputs", inputs: inOrder(ill, flow), without: sound, stages };
}

/** Inputs of a path's strip with and without its cause, and the suspect stages. */
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
 * Stages that the first cause of a path can be in: those that all inputs with it pass and no
 * healthy input of the strip passes, in signal order.
 *
 * @returns none if that cannot be narrowed down
 * @example
 * const flow = { stages: { mic: ["mic amplifier", "fader"], line: ["fader"] }, shared: [] };
 * const path = (input, causes) => ({ path: `7/${input}`, strip: "7", input, judged: true, causes });
 * const noisy = [{ ...describeCause(findCause("noisy-device")), evidence: [], probability: 0.9 }];
 *
 * const both = [path("mic", noisy), path("line", noisy)];
 * listSuspectStages(both[0], both, flow); // ["fader"]
 */
export function listSuspectStages(
  path: PlacedPath,
  paths: readonly PlacedPath[],
  flow: DeskFlow,
): readonly string[] {
  const cause = firstCause(path);
  return cause === undefined ? [] : compareInputs(path, cause.cause, paths, flow).suspects;
}

/** Two paths of a strip that each measure like another input were most likely swapped. */
function changedOver(
  path: PlacedPath,
  { cause }: Cause,
  paths: readonly PlacedPath[],
): FaultPlace | undefined {
  const other = paths.find(
    (p) => p.strip === path.strip && p !== path && firstCause(p)?.cause === cause,
  );
  if (cause !== wrongPathRecorded.id || other === undefined) return undefined;
  return { code: "other-path-too", path: other.path };
}

/** Stages that all faulty inputs pass and no healthy one, in signal order. */
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

function acrossStrips(paths: readonly PlacedPath[], flow: DeskFlow): readonly Remark[] {
  const remarks: Remark[] = [];
  const strips = [...new Set(paths.filter((p) => p.judged).map((p) => p.strip))];
  const stripsByCause = new Map<string, Set<string>>();
  for (const path of paths) {
    const cause = firstCause(path)?.cause;
    if (cause === undefined || cause === noneOfThese.id) continue;
    stripsByCause.set(cause, (stripsByCause.get(cause) ?? new Set<string>()).add(path.strip));
  }
  for (const [cause, hit] of stripsByCause) {
    if (hit.size >= leastStrips && hit.size >= nearlyAll * strips.length) {
      remarks.push({ code: "cause-on-nearly-all", cause, count: hit.size, of: strips.length });
      continue;
    }
    const told = new Set<string>();
    for (const { name: part, strips: members } of flow.shared) {
      const recorded = members.filter((strip) => strips.includes(strip));
      const inside = recorded.filter((strip) => hit.has(strip));
      if (inside.length < leastNeighbours || inside.length < nearlyAll * recorded.length) continue;
      for (const strip of inside) told.add(strip);
      const without = recorded.filter((strip) => !hit.has(strip));
      remarks.push({ code: "cause-on-shared-part", cause, part, strips: inside, without });
    }
    for (const run of runs(strips, hit)) {
      const [first] = run;
      const last = run.at(-1) ?? first;
      if (run.length < leastNeighbours || run.every((strip) => told.has(strip))) continue;
      remarks.push({ code: "cause-on-neighbours", cause, first, last });
    }
  }
  return remarks;
}

/** Runs of neighbouring strips that are all in a set, and empty ones between the others. */
function runs(strips: readonly string[], hit: ReadonlySet<string>): readonly (readonly string[])[] {
  const found: string[][] = [];
  let run: string[] = [];
  for (const strip of strips) {
    if (hit.has(strip)) run.push(strip);
    else {
      found.push(run);
      run = [];
    }
  }
  return [...found, run];
}

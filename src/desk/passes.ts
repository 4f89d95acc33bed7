import { listSettings, type Setting } from "./controls.js";
import { applyPads } from "./pads.js";
import { assignRoutes } from "./pass-routes.js";
import { handlingTimesS } from "./patch-steps.js";
import type { Desk, DeskPath } from "./types.js";

/**
 * How the outputs of a pass play: `turns`, one after the other; if each path has its own recording
 * channel also `together`, every third at once, or `at-once`, all simultaneously.
 */
export type PassForm = "turns" | "together" | "at-once";

/** One path of a pass. */
export interface PlannedPlay {
  /** Output of the interface, from 1. */
  readonly output: number;
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  /** The bus that the strip is routed to; absent if the desk file names none. */
  readonly bus?: string;
  /** Recorder channel of its return, from 0; absent if all come back on the mix. */
  readonly channel?: number;
}

/** What is played with one patch. */
export interface PlannedPass {
  /** From 1. */
  readonly number: number;
  /** `wired` needs no patching, `split` needs mutes, `hand` needs patching. */
  readonly use: "wired" | "split" | "hand";
  readonly form: PassForm;
  /** Outputs played by its file, patched or not. */
  readonly outputs: readonly number[];
  readonly plays: readonly PlannedPlay[];
}

/** All passes over some paths. */
export interface PassPlan {
  readonly passes: readonly PlannedPass[];
  /** Paths that no output reaches: played one by one. */
  readonly left: readonly string[];
}

/** The work before a pass. */
export interface PassWork {
  /** Outputs to plug, by number. */
  readonly plugs: readonly number[];
  readonly pads: number;
  /** Number of mutes to change; 0 if strips are routed to buses instead. */
  readonly mutes: number;
  /** Number of bus assignments to change. */
  readonly routes: number;
  /** Controls to set, by strip. */
  readonly changes: ReadonlyMap<string, readonly Setting[]>;
  readonly seconds: number;
  /** Seconds of it that can be done while the previous pass plays. */
  readonly aheadS: number;
}

type PassDesk = Pick<
  Desk,
  "paths" | "inputs" | "controls" | "referenceDbu" | "outputs" | "buses" | "channels"
>;

/**
 * Plans which outputs feed which paths, pass by pass. Wired paths come first, since they need no
 * patching; then those fed by a splitter; then patched ones, in the quickest order.
 *
 * @param paths requested, in run-sheet order
 * @example
 * planPasses(desk, desk.paths).passes[0].plays[0].output; // 1
 */
export function planPasses(desk: PassDesk, paths: readonly DeskPath[] = desk.paths): PassPlan {
  const { outputs = [] } = desk;
  const wanted = new Map(paths.map((path) => [path.path, path]));
  const drafts: Draft[] = [];
  const wired = outputs.flatMap((one, k) => {
    const path = one.use === "wired" ? wanted.get(one.path) : undefined;
    return path === undefined ? [] : [{ output: k + 1, path }];
  });
  for (const plays of withStripsOnce(wired)) drafts.push({ use: "wired", plays });
  for (const [k, one] of outputs.entries()) {
    if (one.use !== "split") continue;
    const plays = one.paths.flatMap((name) => {
      const path = wanted.get(name);
      return path === undefined ? [] : [{ output: k + 1, path }];
    });
    // On one bus only one strip can be open per output at a time.
    if (desk.channels !== undefined) {
      if (plays.length > 0) drafts.push({ use: "split", plays });
    } else drafts.push(...plays.map((play): Draft => ({ use: "split", plays: [play] })));
  }
  const reached = new Set(drafts.flatMap(({ plays }) => plays.map(({ path }) => path.path)));
  const rest = paths.filter(({ path }) => !reached.has(path));
  const free = outputs.flatMap(({ use }, k) => (use === "hand" ? [k + 1] : []));
  if (free.length > 0) drafts.push(...planHands(desk, rest, free, drafts));
  const passes = finish(desk, drafts);
  return { passes, left: free.length > 0 ? [] : rest.map(({ path }) => path) };
}

/**
 * The passes of a plan that contain any of some paths, unchanged: with their numbers and all their
 * other paths.
 *
 * @example
 * pickPasses(plan, ["3/line"]).passes.map(({ number }) => number); // [2]
 */
export function pickPasses(plan: PassPlan, paths: readonly string[]): PassPlan {
  const wanted = new Set(paths);
  return {
    passes: plan.passes.filter(({ plays }) => plays.some(({ path }) => wanted.has(path))),
    left: plan.left.filter((path) => wanted.has(path)),
  };
}

interface DraftPlay {
  readonly output: number;
  readonly path: DeskPath;
}

interface Draft {
  readonly use: PlannedPass["use"];
  readonly plays: readonly DraftPlay[];
  /** Outputs that may change places; absent if they are wired. */
  readonly bank?: readonly number[];
}

/** Splits plays so that no strip needs two inputs at once. */
function withStripsOnce(plays: readonly DraftPlay[]): readonly (readonly DraftPlay[])[] {
  const parts: DraftPlay[][] = [];
  for (const play of plays) {
    const fits = parts.find((part) => part.every(({ path }) => path.strip !== play.path.strip));
    if (fits === undefined) parts.push([play]);
    else fits.push(play);
  }
  return parts;
}

/** With fewer outputs, half of them would be only one. */
const leastHalved = 4;
/** Seconds for the turn of one output and the pause after it, with the standard signal. */
const turnS = 13;

/**
 * The quickest of a few orders: input by input; strips in blocks; padded inputs apart, the rest in
 * blocks. Each with all outputs at once, and with one half patched while the other plays.
 */
function planHands(
  desk: PassDesk,
  paths: readonly DeskPath[],
  free: readonly number[],
  before: readonly Draft[],
): readonly Draft[] {
  const inputs = [...new Set(paths.map(({ input }) => input))];
  const padded = new Set(
    applyPads(desk.inputs, desk.referenceDbu).flatMap(({ name, padDb }) =>
      padDb === 0 ? [] : [name],
    ),
  );
  const apart = inputs.filter((name) => padded.has(name));
  const direct = inputs.filter((name) => !padded.has(name));
  const orders = [
    inputs.map((name) => [name]),
    [inputs],
    [direct, ...apart.map((name) => [name])],
    [...apart.map((name) => [name]), direct],
  ];
  const half = Math.ceil(free.length / 2);
  const halves = [free.slice(0, half), free.slice(half)];
  const ways = free.length < leastHalved ? [[free]] : [[free], halves];
  let best: readonly Draft[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (const banks of ways) {
    for (const order of orders) {
      const drafts = order.flatMap((together) => inBlocks(paths, together, banks));
      const passes = finish(desk, [...before, ...drafts]);
      const works = planPassWork(desk, passes);
      const seconds = sumPassTimes(works, passes.map(guessPlayS));
      // Margin, so that rounding does not choose between equal orders.
      if (seconds < least - 1e-9) {
        best = drafts;
        least = seconds;
      }
    }
  }
  return best;
}

function guessPlayS({ form, outputs }: PlannedPass): number {
  return turnS * (form === "turns" ? outputs.length : Math.min(outputs.length, turnsTogether));
}

/** In the form `together` every third output plays at once. */
const turnsTogether = 3;

/**
 * Total seconds of passes and the work before them. Work done while the previous pass plays costs
 * only the excess over its length.
 *
 * @param playsS length of each pass
 */
export function sumPassTimes(works: readonly PassWork[], playsS: readonly number[]): number {
  return works.reduce(
    (sum, { seconds, aheadS }, k) =>
      sum + seconds + playsS[k] - Math.min(aheadS, k === 0 ? 0 : playsS[k - 1]),
    0,
  );
}

/**
 * Strips in blocks of one per output, each block with one input after the other; banks alternate.
 */
function inBlocks(
  paths: readonly DeskPath[],
  inputs: readonly string[],
  banks: readonly (readonly number[])[],
): readonly Draft[] {
  const own = paths.filter(({ input }) => inputs.includes(input));
  const strips = [...new Set(own.map(({ strip }) => strip))];
  const drafts: Draft[] = [];
  for (let at = 0; at < strips.length; ) {
    const blocks = banks.map((outputs) => {
      const block = strips.slice(at, at + outputs.length);
      at += outputs.length;
      return { outputs, block };
    });
    for (const input of inputs) {
      for (const { outputs, block } of blocks) {
        const plays = block.flatMap((strip, k) => {
          const path = own.find((one) => one.strip === strip && one.input === input);
          return path === undefined ? [] : [{ output: outputs[k], path }];
        });
        if (plays.length > 0) drafts.push({ use: "hand", plays, bank: outputs });
      }
    }
  }
  return drafts;
}

/** Adds routes, numbers and forms to drafts. */
function finish(desk: PassDesk, drafts: readonly Draft[]): readonly PlannedPass[] {
  const { buses, channels } = desk;
  const routes = assignRoutes(
    drafts.map(({ plays, bank }) => ({
      plays: plays.map(({ output, path }) => ({ output, strip: path.strip })),
      outputs: bank,
    })),
    buses?.length ?? 0,
  );
  return drafts.map(({ use, plays, bank }, k): PlannedPass => {
    const planned = plays.map(({ path }, i): PlannedPlay => {
      const { output, bus } = routes[k][i];
      const { strip, input } = path;
      const channel = bus ?? channels?.findIndex((own) => own.includes(path.path)) ?? undefined;
      return {
        output,
        path: path.path,
        strip,
        input,
        ...(bus === undefined || buses === undefined ? {} : { bus: buses[bus] }),
        ...(channel === undefined || channel < 0 ? {} : { channel }),
      };
    });
    planned.sort((a, b) => a.output - b.output);
    return {
      number: k + 1,
      use,
      form: isOwn(planned) ? "together" : "turns",
      outputs: bank ?? [...new Set(planned.map(({ output }) => output))],
      plays: planned,
    };
  });
}

/** Whether every path has its own recording channel. */
function isOwn(plays: readonly PlannedPlay[]): boolean {
  const channels = plays.map(({ channel }) => channel);
  return !channels.includes(undefined) && new Set(channels).size === channels.length;
}

/**
 * For each path of a pass, the paths open on its recording channel: only itself if it has its own
 * channel.
 */
export function listOpenTogether({ plays }: PlannedPass): ReadonlyMap<string, readonly string[]> {
  return new Map(
    plays.map(({ path, channel }) => [
      path,
      plays.filter((other) => other.channel === channel).map((other) => other.path),
    ]),
  );
}

/** Manual work before each pass, see `handlingTimesS`. */
export function planPassWork(
  desk: Pick<Desk, "inputs" | "controls" | "referenceDbu" | "channels">,
  passes: readonly PlannedPass[],
): readonly PassWork[] {
  const inputs = new Map(
    applyPads(desk.inputs, desk.referenceDbu).map((input) => [
      input.name,
      { padDb: input.padDb, settings: listSettings(desk.controls, input) },
    ]),
  );
  const stands = new Map<string, Map<string, string>>();
  const padOf = new Map<number, number>();
  const plugOf = new Map<number, string>();
  let busOf: ReadonlyMap<string, string> = new Map();
  let open: ReadonlySet<string> = new Set();
  return passes.map(({ use, plays }, k): PassWork => {
    const plugs: number[] = [];
    let pads = 0;
    const changes = new Map<string, readonly Setting[]>();
    for (const { output, path, strip, input } of plays) {
      const { padDb = 0, settings = [] } = inputs.get(input) ?? {};
      if (use === "hand" && plugOf.get(output) !== path) {
        plugs.push(output);
        plugOf.set(output, path);
        if ((padOf.get(output) ?? 0) !== padDb) pads++;
        padOf.set(output, padDb);
      }
      const stand = stands.get(strip) ?? new Map<string, string>();
      stands.set(strip, stand);
      const changed = settings.filter(({ control, to }) => stand.get(control) !== to);
      for (const { control, to } of changed) stand.set(control, to);
      if (changed.length > 0) changes.set(strip, changed);
    }
    // A strip on no bus is not heard: routing opens and closes it, without mutes.
    const routed = new Map(
      plays.flatMap(({ strip, bus }) => (bus === undefined ? [] : [[strip, bus] as const])),
    );
    const routes = countMoved(routed, busOf) + countMoved(busOf, routed);
    busOf = routed;
    const strips = new Set(plays.map(({ strip }) => strip));
    // If each strip has its own channel, the others do not matter.
    const mutes =
      desk.channels === undefined && routed.size === 0
        ? [...strips].filter((strip) => !open.has(strip)).length +
          [...open].filter((strip) => !strips.has(strip)).length
        : 0;
    open = strips;
    const controls = [...changes.values()].reduce((sum, own) => sum + own.length, 0);
    const patchS =
      plugs.length * handlingTimesS.plug +
      pads * handlingTimesS.pad +
      controls * handlingTimesS.control;
    const opening = mutes * handlingTimesS.mute + routes * handlingTimesS.control;
    const seconds = patchS + opening + handlingTimesS.play;
    const before = passes[k - 1] as PlannedPass | undefined;
    const aheadS = use === "hand" && isApart(plays, before) ? patchS : 0;
    return { plugs, pads, mutes, routes, changes, seconds, aheadS };
  });
}

/** Number of strips on a bus here that are not on the same one there. */
function countMoved(here: ReadonlyMap<string, string>, there: ReadonlyMap<string, string>): number {
  return [...here].filter(([strip, bus]) => there.get(strip) !== bus).length;
}

/**
 * Whether a pass shares no strip and no output with the previous one, so that it can be patched
 * meanwhile.
 */
function isApart(plays: readonly PlannedPlay[], before: PlannedPass | undefined): boolean {
  if (before === undefined) return false;
  const strips = new Set(before.plays.map(({ strip }) => strip));
  return plays.every(({ strip, output }) => !strips.has(strip) && !before.outputs.includes(output));
}

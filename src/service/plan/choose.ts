import type { Construction, DeskPart } from "../../desk/construction.js";
import { DeskroundError } from "../../errors.js";

/** A piece of work that can be done in an opening or left for another. */
export interface RepairOption {
  readonly strip: string;
  /** Its value; any unit, above 0. */
  readonly worth: number;
  /** Minutes at the bench, without opening and pulling. */
  readonly minutes: number;
}

/** Further work that a set of jobs requires. */
export interface OpeningWork<J extends RepairOption> {
  readonly jobs: readonly J[];
  /** Parts that must come off, each before those beneath it. */
  readonly parts: readonly DeskPart[];
  /** Strips pulled individually: those on a card come out with it. */
  readonly pulled: readonly string[];
  /** Total, including opening and closing of the desk. */
  readonly minutes: number;
}

/** Minutes by strip. */
export interface StripTimes {
  /** To test the strip again, whatever was done to it. */
  readonly testMinutes?: (strip: string) => number;
  /** To take it out and put it back; that of the construction when absent. */
  readonly pullMinutes?: (strip: string) => number;
}

type Times = Required<StripTimes>;

/** Most parts that may overlap without one containing the other. */
const mostCrossing = 10;

/**
 * Chooses the jobs to do in the available minutes: those with the greatest total worth, and among
 * equals those that take least time. Set-up counts once: the desk is opened once, a cover or card
 * comes off once for all strips under it, a strip is pulled once for all its jobs. Parts are nested
 * like their sets of strips, so desk, parts, strips and jobs form a tree in which a job needs
 * everything above it. Over the tree's nodes in depth-first order, the best worth in b minutes is
 * the better of skipping a node with its subtree and of taking it: an exact dynamic programme (the
 * tree knapsack of G. Cho and D. X. Shaw, "A depth-first dynamic programming algorithm for the tree
 * knapsack problem", 1997; from memory). Choosing by worth per minute would be wrong: a cover may
 * be worth removing for three jobs together but for none alone. Parts that overlap without one
 * containing the other are tried in all combinations, off or left on.
 *
 * @param budget minutes; undefined: all jobs
 *
 * @param times time per strip besides its jobs
 * @throws DeskroundError `desk-file` when more than ten parts overlap
 */
export function chooseRepairs<J extends RepairOption>(
  jobs: readonly J[],
  construction: Construction,
  budget?: number,
  times: StripTimes = {},
): OpeningWork<J> {
  const each: Times = {
    testMinutes: times.testMinutes ?? (() => 0),
    pullMinutes: times.pullMinutes ?? (() => construction.pullMinutes),
  };
  const strips = new Set(jobs.map(({ strip }) => strip));
  const concerned = construction.parts
    .map((part) => ({ part, strips: part.strips.filter((strip) => strips.has(strip)) }))
    .filter((one) => one.strips.length > 0)
    .sort(
      (a, b) => b.strips.length - a.strips.length || b.part.strips.length - a.part.strips.length,
    );
  if (budget === undefined) {
    return openingFor(
      jobs,
      concerned.map(({ part }) => part),
      construction,
      each,
    );
  }
  const crossing = crossingParts(concerned);
  const nested = concerned.filter((one) => !crossing.includes(one));
  let best: { score: number; jobs: readonly J[] } = { score: 0, jobs: [] };
  for (let bits = 0; bits < 2 ** crossing.length; bits++) {
    const off = crossing.filter((_, k) => (bits >> k) & 1);
    const on = crossing.filter((one) => !off.includes(one));
    const shut = new Set(on.flatMap((one) => one.strips));
    const open = jobs.filter(({ strip }) => !shut.has(strip));
    const paid = off.reduce((sum, { part }) => sum + part.minutes, 0);
    const onCard = new Set(off.flatMap(({ part }) => (part.kind === "card" ? part.strips : [])));
    const found = treeChoice(open, nested, onCard, construction, budget - paid, each);
    const score = found.score - paid;
    if (score > best.score) best = { score, jobs: found.jobs };
  }
  const needed = new Set(best.jobs.map(({ strip }) => strip));
  const parts = concerned
    .filter((one) => one.strips.some((strip) => needed.has(strip)))
    .map(({ part }) => part);
  return openingFor(best.jobs, parts, construction, each);
}

interface Concerned {
  readonly part: DeskPart;
  /** Those of its strips that have a job. */
  readonly strips: readonly string[];
}

/** A node of the tree: its cost, worth, and the end of its subtree. */
interface Node<J> {
  readonly minutes: number;
  readonly worth: number;
  readonly job?: J;
  end: number;
}

/** Weight of worth relative to minutes; more than any plan has minutes. */
const minutesPerWorth = 1e6;

function treeChoice<J extends RepairOption>(
  jobs: readonly J[],
  parts: readonly Concerned[],
  onCard: ReadonlySet<string>,
  construction: Construction,
  budget: number,
  times: Times,
): { readonly score: number; readonly jobs: readonly J[] } {
  const nodes = treeNodes(jobs, parts, onCard, construction, times);
  const most = Math.floor(budget);
  if (most < 0 || jobs.length === 0) return { score: 0, jobs: [] };
  // best[i][b]: from node i on, in b minutes.
  const best = nodes.map(() => new Float64Array(most + 1));
  best.push(new Float64Array(most + 1));
  for (let i = nodes.length - 1; i >= 0; i--) {
    const { minutes, worth, end } = nodes[i];
    const whole = Math.ceil(minutes);
    const gain = Math.round(worth * minutesPerWorth) - whole;
    for (let b = 0; b <= most; b++) {
      const skipped = best[end][b];
      const taken = b >= whole ? best[i + 1][b - whole] + gain : Number.NEGATIVE_INFINITY;
      best[i][b] = Math.max(skipped, taken);
    }
  }
  const chosen: J[] = [];
  let b = most;
  for (let i = 0; i < nodes.length; ) {
    const { minutes, job, end } = nodes[i];
    if (best[i][b] === best[end][b]) {
      i = end;
      continue;
    }
    b -= Math.ceil(minutes);
    if (job !== undefined) chosen.push(job);
    i++;
  }
  return { score: best[0][most], jobs: chosen };
}

/** Desk, parts, strips and jobs in depth-first order. */
function treeNodes<J extends RepairOption>(
  jobs: readonly J[],
  parts: readonly Concerned[],
  onCard: ReadonlySet<string>,
  { openMinutes }: Construction,
  { testMinutes, pullMinutes }: Times,
): readonly Node<J>[] {
  const nodes: Node<J>[] = [];
  const under = (within: readonly Concerned[], strips: readonly string[], card: boolean): void => {
    const left = new Set(strips);
    within.forEach((one, k) => {
      if (!one.strips.some((strip) => left.has(strip))) return;
      const node: Node<J> = { minutes: one.part.minutes, worth: 0, end: 0 };
      nodes.push(node);
      const own = one.strips.filter((strip) => left.has(strip));
      for (const strip of own) left.delete(strip);
      const beneath = within.slice(k + 1).filter((other) => isWithin(other, one));
      under(beneath, own, card || one.part.kind === "card");
      node.end = nodes.length;
    });
    for (const strip of left) {
      const free = card || onCard.has(strip);
      const minutes = (free ? 0 : Math.ceil(pullMinutes(strip))) + Math.ceil(testMinutes(strip));
      const node: Node<J> = { minutes, worth: 0, end: 0 };
      nodes.push(node);
      for (const job of jobs.filter((one) => one.strip === strip)) {
        nodes.push({ minutes: job.minutes, worth: job.worth, job, end: nodes.length + 1 });
      }
      node.end = nodes.length;
    }
  };
  const root: Node<J> = { minutes: openMinutes, worth: 0, end: 0 };
  nodes.push(root);
  under(parts, [...new Set(jobs.map(({ strip }) => strip))], false);
  root.end = nodes.length;
  return nodes;
}

function isWithin(inner: Concerned, outer: Concerned): boolean {
  return inner.strips.every((strip) => outer.strips.includes(strip));
}

/** The fewest parts without which all others are nested or disjoint. */
function crossingParts(parts: readonly Concerned[]): readonly Concerned[] {
  const taken: Concerned[] = [];
  for (;;) {
    const left = parts.filter((one) => !taken.includes(one));
    const counts = left.map((a) => left.filter((b) => b !== a && isCrossing(a, b)).length);
    const most = Math.max(0, ...counts);
    if (most === 0) return taken;
    taken.push(left[counts.indexOf(most)]);
    if (taken.length > mostCrossing) {
      throw new DeskroundError(
        "desk-file",
        `More than ${mostCrossing} parts of the construction overlap without one containing the other.`,
        "Give `construction` in desk.yaml parts that contain one another, or plan without --hours.",
      );
    }
  }
}

function isCrossing(a: Concerned, b: Concerned): boolean {
  const shared = a.strips.some((strip) => b.strips.includes(strip));
  return shared && !isWithin(a, b) && !isWithin(b, a);
}

function openingFor<J extends RepairOption>(
  jobs: readonly J[],
  parts: readonly DeskPart[],
  { openMinutes }: Construction,
  { testMinutes, pullMinutes }: Times,
): OpeningWork<J> {
  const carried = new Set(parts.flatMap((part) => (part.kind === "card" ? part.strips : [])));
  const strips = [...new Set(jobs.map(({ strip }) => strip))];
  const pulled = strips.filter((strip) => !carried.has(strip));
  const all = [
    openMinutes,
    ...parts.map((part) => part.minutes),
    ...pulled.map(pullMinutes),
    ...strips.map(testMinutes),
    ...jobs.map((job) => job.minutes),
  ];
  const minutes = jobs.length === 0 ? 0 : all.reduce((sum, one) => sum + Math.ceil(one), 0);
  return { jobs, parts, pulled, minutes };
}

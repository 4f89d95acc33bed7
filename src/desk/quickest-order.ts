import { computeChangeTimesS, handlingTimesS } from "./patch-steps.js";
import type { DeskControl, DeskInput } from "./types.js";

/** An input as the order needs it. */
export type OrderedInput = Pick<DeskInput, "name" | "set" | "padDb"> & {
  readonly strips?: readonly string[];
};

/** Inputs that are tested together on a strip before the next one is turned to. */
type Pass = readonly number[];

/** All orders of more inputs than this would take too long; then theirs in the file stays. */
const mostPermuted = 5;
/** Ways to cut a list into passes double with every input. */
const mostInputs = 12;

/**
 * The order of strips and inputs that takes the least time at plugs, pads, mutes and controls.
 *
 * Every order is looked at that goes through the strips in passes: in each pass some inputs are
 * tested, strip by strip in the desk's order, the inputs of the pass in the same order on every
 * strip or, every other strip, in the opposite one (which spares a change at the strip's border).
 * One pass of all inputs is `by-strip`, a pass for each input `by-input`. Strips are never gone
 * through backwards or crosswise: it could spare a mute or two in a whole round, and would cost
 * patch errors. With up to five inputs every order of them and every cut into passes is tried, so
 * the result is the least there is of that kind; beyond five the inputs keep the file's order.
 *
 * @returns strip and index of the input, in order; of orders that take equally long the one nearest
 *   to the file's, by input
 */
export function findQuickestOrder(
  strips: readonly string[],
  inputs: readonly OrderedInput[],
  controls: readonly DeskControl[],
): readonly (readonly [strip: string, input: number])[] {
  const has = inputs.map(({ strips: own }) => own && new Set(own));
  const costs = inputs.map((from) => inputs.map((to) => computeChangeTimesS(controls, from, to)));
  let best: readonly Stop[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (const passes of candidates(inputs.length)) {
    const turns = passes.some((pass) => pass.length > 1) ? [false, true] : [false];
    for (const turn of turns) {
      const stops = stopsOf(passes, turn, strips, has);
      const [first, last] = [stops[0], stops.at(-1)];
      // The round begins and ends without a pad.
      const ends = [first, last].filter((stop) => stop && inputs[stop.input].padDb).length;
      const seconds = secondsOf(stops, costs, strips.length) + ends * handlingTimesS.pad;
      // A hair, so that rounding never prefers the stranger of two equal orders.
      if (seconds < least - 1e-9) {
        best = stops;
        least = seconds;
      }
    }
  }
  return best.map(({ strip, input }) => [strips[strip], input]);
}

/** Indices of a strip and of an input. */
interface Stop {
  readonly strip: number;
  readonly input: number;
}

function stopsOf(
  passes: readonly Pass[],
  turn: boolean,
  strips: readonly string[],
  has: readonly (ReadonlySet<string> | undefined)[],
): readonly Stop[] {
  return passes.flatMap((pass) => {
    const back = [...pass].reverse();
    return strips.flatMap((name, strip) =>
      (turn && strip % 2 === 1 ? back : pass)
        .filter((input) => has[input]?.has(name) ?? true)
        .map((input) => ({ strip, input })),
    );
  });
}

function secondsOf(
  stops: readonly Stop[],
  costs: readonly (readonly ReturnType<typeof computeChangeTimesS>[])[],
  count: number,
): number {
  const last = new Int16Array(count).fill(-1);
  let seconds = 0;
  let before: Stop | undefined;
  for (const stop of stops) {
    if (before !== undefined) {
      if (before.strip !== stop.strip) seconds += 2 * handlingTimesS.mute;
      seconds += costs[before.input][stop.input].pad;
    }
    const was = last[stop.strip];
    if (was >= 0) seconds += costs[was][stop.input].controls;
    last[stop.strip] = stop.input;
    before = stop;
  }
  return seconds;
}

/** Ordered passes over this many inputs: the file's order first, and of one order single inputs. */
function* candidates(count: number): Generator<readonly Pass[]> {
  const all = Array.from({ length: count }, (_, i) => i);
  const orders = count <= mostPermuted ? permutations(all) : [all];
  const cuts = count <= mostInputs ? 2 ** Math.max(0, count - 1) : 1;
  for (const order of orders) {
    for (let joined = 0; joined < cuts; joined++) yield passesOf(order, joined);
  }
}

/** Bit k of `joined` puts the inputs k and k + 1 of an order into one pass. */
function passesOf(order: readonly number[], joined: number): readonly Pass[] {
  const passes: number[][] = [];
  order.forEach((input, k) => {
    if (k > 0 && (joined >> (k - 1)) & 1) passes.at(-1)?.push(input);
    else passes.push([input]);
  });
  return passes;
}

/** All orders of a list, the list itself first. */
function permutations(items: readonly number[]): readonly (readonly number[])[] {
  if (items.length <= 1) return [items];
  return items.flatMap((item, k) =>
    permutations([...items.slice(0, k), ...items.slice(k + 1)]).map((rest) => [item, ...rest]),
  );
}

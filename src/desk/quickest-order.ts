import { computeChangeTimesS, handlingTimesS } from "./patch-steps.js";
import type { DeskControl, DeskInput } from "./types.js";

/** The properties of an input that the order depends on. */
export type OrderedInput = Pick<DeskInput, "name" | "set" | "padDb"> & {
  readonly strips?: readonly string[];
};

/** Indices of inputs tested on a strip before moving to the next one. */
type Pass = readonly number[];

/** Trying all orders of more inputs would take too long; then the file's order is kept. */
const mostPermuted = 5;
/** The number of ways to split a list into passes doubles with every input. */
const mostInputs = 12;

/**
 * Finds the order of strips and inputs that takes the least time for plugs, pads, mutes and
 * controls. It tries all orders that go through the strips in passes: each pass tests some inputs,
 * strip by strip in the desk's order, with its inputs in the same order on every strip or in
 * alternating order (which saves a change between strips). One pass of all inputs is `by-strip`,
 * one pass per input `by-input`. Strips are never taken backwards or out of order: that could save
 * a mute or two per round, but would cause patch errors. With up to five inputs every order and
 * every split into passes is tried, so the result is the minimum of that kind; with more the inputs
 * keep the file's order.
 *
 * @returns strip and index of the input, in order; of equally long orders the one nearest to the
 * file's, by input
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

/** Outputs and plays of a pass to route. */
export interface RouteRequest {
  readonly plays: readonly { readonly output: number; readonly strip: string }[];
  /** Outputs that may be exchanged; absent if they are wired. */
  readonly outputs: readonly number[] | undefined;
}

export interface Route {
  readonly output: number;
  /** Index of the bus; absent if there are none. */
  readonly bus?: number;
}

/**
 * Chooses the output and the bus of each strip in each pass. They are rotated from pass to pass, so
 * that a strip gets another output and another bus each time, and two strips share both as seldom
 * as possible: then a fault can be traced to a strip, an output or a bus.
 *
 * @param buses number of buses, 0 for none
 * @returns for each pass the routes of its plays, in their order
 */
export function assignRoutes(
  requests: readonly RouteRequest[],
  buses: number,
): readonly (readonly Route[])[] {
  const met = new Meetings();
  return requests.map(({ plays, outputs }) => {
    let best: readonly Route[] = [];
    let least: Cost | undefined;
    const turns = outputs === undefined ? 1 : outputs.length;
    for (let turn = 0; turn < turns; turn++) {
      const outputOf = ({ output }: { readonly output: number }) =>
        outputs === undefined ? output : outputs[(outputs.indexOf(output) + turn) % outputs.length];
      for (let shift = 0; shift < Math.max(1, buses); shift++) {
        const routes = plays.map((play, i): Route => {
          const output = outputOf(play);
          return buses === 0 ? { output } : { output, bus: (i + shift) % buses };
        });
        const cost = met.costOf(plays, routes);
        if (least === undefined || isLess(cost, least)) {
          best = routes;
          least = cost;
        }
      }
    }
    met.add(plays, best);
    return best;
  });
}

/** Costs to avoid, the worst first. */
type Cost = readonly [pairsAgain: number, repeats: number, load: number, pairs: number];

function isLess(a: Cost, b: Cost): boolean {
  const at = a.findIndex((one, k) => one !== b[k]);
  return at >= 0 && a[at] < b[at];
}

type Plays = RouteRequest["plays"];

/** Combinations of strips, outputs and buses used so far. */
class Meetings {
  /** Output and bus to the strips that had both. */
  readonly #strips = new Map<string, string[]>();
  /** Two strips to the number of times they shared both. */
  readonly #pairs = new Map<string, number>();
  readonly #had = new Map<string, number>();
  /** Bus to its number of plays: with few, a fault of the bus does not show. */
  readonly #load = new Map<number, number>();

  costOf(plays: Plays, routes: readonly Route[]): Cost {
    let again = 0;
    let repeats = 0;
    let pairs = 0;
    let load = 0;
    plays.forEach(({ strip }, i) => {
      for (const key of keysOf(strip, routes[i])) repeats += this.#had.get(key) ?? 0;
      load += this.#load.get(routes[i].bus ?? 0) ?? 0;
      for (const other of this.#strips.get(cellOf(routes[i])) ?? []) {
        if (other === strip) continue;
        pairs++;
        if ((this.#pairs.get(pairOf(strip, other)) ?? 0) > 0) again++;
      }
    });
    return [again, repeats, load, pairs];
  }

  add(plays: Plays, routes: readonly Route[]): void {
    plays.forEach(({ strip }, i) => {
      const cell = cellOf(routes[i]);
      const { bus = 0 } = routes[i];
      this.#load.set(bus, (this.#load.get(bus) ?? 0) + 1);
      for (const key of keysOf(strip, routes[i])) this.#had.set(key, (this.#had.get(key) ?? 0) + 1);
      const there = this.#strips.get(cell) ?? [];
      for (const other of there) {
        const pair = pairOf(strip, other);
        if (other !== strip) this.#pairs.set(pair, (this.#pairs.get(pair) ?? 0) + 1);
      }
      this.#strips.set(cell, [...there, strip]);
    });
  }
}

function cellOf({ output, bus }: Route): string {
  return `${output} ${bus ?? ""}`;
}

function keysOf(strip: string, { output, bus }: Route): readonly string[] {
  return [`o${output} ${strip}`, ...(bus === undefined ? [] : [`b${bus} ${strip}`])];
}

function pairOf(a: string, b: string): string {
  return a < b ? `${a}\n${b}` : `${b}\n${a}`;
}

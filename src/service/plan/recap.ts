import type { StripDownBook } from "../../desk/strip-down/types.js";
import type { Desk } from "../../desk/types.js";
import { median } from "../../dsp/robust.js";
import type { Round } from "../../history/types.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { listRecaps, mergeRecaps } from "../notebook/recaps.js";
import type { Notebook } from "../notebook/types.js";
import { readProbe } from "../retest/probe.js";
import { buildStores, reserveParts, type StockMatch } from "../stores/ledger.js";
import { parsePartSpec } from "../stores/part-spec.js";
import { type CapacitorLife, estimateCapacitorLife } from "./ageing.js";
import { listOutOrder } from "./find-boards.js";
import { testMinutesPerInput } from "./plan.js";

/** Capacitors of one value on one board of a strip. */
export interface RecapGroup {
  readonly board: string;
  /** As in the book: `10 µF 35 V`. */
  readonly what: string;
  readonly count: number;
}

/** What a round shows about a strip's capacitors, relative to siblings. */
export interface CapacitorDrift {
  /** The path with the largest deviation. */
  readonly path: string;
  /** Level at 30 Hz relative to the siblings' median, decibels; absent if not measured. */
  readonly lowDb?: number;
  /** Lower corner relative to the siblings' median, as a ratio. */
  readonly cornerRatio?: number;
}

export interface RecapStrip {
  readonly strip: string;
  readonly groups: readonly RecapGroup[];
  readonly capacitors: number;
  readonly life?: CapacitorLife;
  /** Hours under power since then. */
  readonly hours?: number;
  readonly drift?: CapacitorDrift;
  /** To take out, replace parts, put back and measure again. */
  readonly minutes: number;
}

/** One day of the recapping. */
export interface RecapDay {
  readonly strips: readonly RecapStrip[];
  /** Including opening and closing of the desk. */
  readonly minutes: number;
}

export interface RecapPart {
  readonly what: string;
  readonly count: number;
  readonly reserved: number;
  readonly missing: number;
  /** Stock of it, by bag. */
  readonly matches: readonly StockMatch[];
  readonly price?: number;
  readonly from?: string;
}

/** Recapping as a plan. */
export interface RecapPlan {
  readonly format: "deskround-recap";
  readonly version: 1;
  readonly desk: string;
  readonly date: string;
  readonly round: string | null;
  readonly hoursADay: number;
  readonly days: readonly RecapDay[];
  readonly parts: readonly RecapPart[];
  readonly minutes: number;
  /** Cost of parts to buy, as far as prices are known; absent if none is. */
  readonly cost?: number;
  /** Values without a known price. */
  readonly unpriced: readonly string[];
}

export interface RecapInput {
  readonly desk: Desk;
  readonly book: StripDownBook;
  readonly notebook: Notebook;
  /** The latest whole round; undefined: by age alone. */
  readonly round: Round | undefined;
  /** Strips to do; all of the desk's when absent. */
  readonly strips?: readonly string[];
  readonly hoursADay: number;
  /** YYYY-MM-DD. */
  readonly date: string;
}

/** To take one electrolytic out, clean its holes and fit a new one (common practice). */
const minutesEach = 4;
/** Where a drying coupling capacitor shows first. */
const lowHz = 30;
/** Siblings needed for a median. */
const leastSiblings = 3;

/**
 * Plans new electrolytics: which, where, how old, what a round shows about them, and the order day
 * by day. Strips whose low end deviates most from their siblings' come first, then the oldest. Each
 * day opens and closes the desk.
 */
export function makeRecapPlan(input: RecapInput): RecapPlan {
  const { desk, book, notebook, round, hoursADay, date } = input;
  const recaps = listRecaps(notebook, desk.strips);
  const age = mergeRecaps(desk.age, recaps);
  const chosen = input.strips ?? desk.strips;
  const strips = chosen
    .map((strip): RecapStrip => {
      const groups = listGroups(strip, book);
      const capacitors = groups.reduce((sum, { count }) => sum + count, 0);
      const life = estimateCapacitorLife(strip, age);
      // A round made before the recapping shows the old ones.
      const isOld = round !== undefined && (recaps.get(strip) ?? "") > round.date;
      const drift = round === undefined || isOld ? undefined : findDrift(strip, round);
      const years = life === undefined ? 0 : Math.max(0, Number(date.slice(0, 4)) - life.since);
      return {
        strip,
        groups,
        capacitors,
        ...(life === undefined || age === undefined
          ? {}
          : { life, hours: Math.round(years * 365.25 * age.poweredHours) }),
        ...(drift === undefined ? {} : { drift }),
        minutes: countMinutes(strip, capacitors, groups, desk, book),
      };
    })
    .filter(({ capacitors }) => capacitors > 0)
    .sort((a, b) => rankDrift(b) - rankDrift(a) || (a.life?.since ?? 0) - (b.life?.since ?? 0));
  const days = shareOut(strips, desk.construction.openMinutes, 60 * hoursADay);
  const parts = countParts(strips, notebook);
  const priced = parts.filter(({ price }) => price !== undefined);
  const cost = priced.reduce((sum, { price = 0, missing }) => sum + price * missing, 0);
  return {
    format: "deskround-recap",
    version: 1,
    desk: desk.name,
    date,
    round: round?.id ?? null,
    hoursADay,
    days,
    parts,
    minutes: days.reduce((sum, { minutes }) => sum + minutes, 0),
    ...(priced.length === 0 ? {} : { cost: Math.round(100 * cost) / 100 }),
    unpriced: parts.flatMap(({ what, price, missing }) =>
      price === undefined && missing > 0 ? [what] : [],
    ),
  };
}

function listGroups(strip: string, { boards }: StripDownBook): readonly RecapGroup[] {
  return boards
    .filter(({ strips }) => strips.includes(strip))
    .flatMap(({ name, capacitors }) =>
      capacitors.map(({ what, count }) => ({ board: name, what, count })),
    );
}

function countMinutes(
  strip: string,
  capacitors: number,
  groups: readonly RecapGroup[],
  desk: Desk,
  { boards }: StripDownBook,
): number {
  const out = listOutOrder(
    [...new Set(groups.map(({ board }) => board))],
    boards.filter(({ strips }) => strips.includes(strip)),
  ).flatMap(({ minutes }) => minutes ?? []);
  const pull =
    out.length === 0
      ? desk.construction.pullMinutes
      : out.reduce((sum, minutes) => sum + minutes, 0);
  const inputs = desk.paths.filter((path) => path.strip === strip).length;
  return Math.ceil(pull + capacitors * minutesEach + inputs * testMinutesPerInput);
}

/** The path of a strip whose low end is furthest from its siblings'. */
function findDrift(strip: string, round: Round): CapacitorDrift | undefined {
  const corner = getReadingId("lower-corner");
  const measured = round.paths.filter(({ status }) => status === "measured");
  const drifts = measured
    .filter((path) => path.strip === strip)
    .flatMap((path): CapacitorDrift[] => {
      const siblings = measured.filter(
        ({ family, strip: other }) => family === path.family && other !== strip,
      );
      const against = (probe: { reading: string; atHz?: number }) => {
        const own = readProbe(path, probe);
        const all = siblings.flatMap((one) => {
          const read = readProbe(one, probe);
          return read === undefined || read.bound !== undefined ? [] : [read.value];
        });
        if (own === undefined || own.bound !== undefined || all.length < leastSiblings) return;
        return { own: own.value, usual: median(all) };
      };
      const level = against({ reading: "response", atHz: lowHz });
      const low = against({ reading: corner });
      if (level === undefined && low === undefined) return [];
      return [
        {
          path: path.path,
          ...(level === undefined ? {} : { lowDb: round2(level.own - level.usual) }),
          ...(low === undefined || low.usual <= 0
            ? {}
            : { cornerRatio: round2(low.own / low.usual) }),
        },
      ];
    });
  return drifts.sort((a, b) => weigh(b) - weigh(a))[0];
}

function round2(value: number): number {
  return Math.round(100 * value) / 100;
}

/** Size of the low-end change: decibels lost, or octaves of the corner. */
function weigh({ lowDb = 0, cornerRatio = 1 }: CapacitorDrift): number {
  return Math.max(-lowDb, cornerRatio > 0 ? Math.log2(cornerRatio) : 0);
}

/** Healthy strips may differ by this. */
const ofNoConcern = 0.5;

function rankDrift({ drift }: RecapStrip): number {
  const weight = drift === undefined ? 0 : weigh(drift);
  return weight < ofNoConcern ? 0 : weight;
}

/** Divides strips, in order, into days; one longer than a day has its own. */
function shareOut(
  strips: readonly RecapStrip[],
  openMinutes: number,
  perDay: number,
): readonly RecapDay[] {
  const days: { strips: RecapStrip[]; minutes: number }[] = [];
  for (const strip of strips) {
    const today = days.at(-1);
    if (today !== undefined && today.minutes + strip.minutes <= perDay) {
      today.strips.push(strip);
      today.minutes += strip.minutes;
    } else days.push({ strips: [strip], minutes: openMinutes + strip.minutes });
  }
  return days;
}

function countParts(strips: readonly RecapStrip[], notebook: Notebook): readonly RecapPart[] {
  const counts = new Map<string, number>();
  for (const { what, count } of strips.flatMap(({ groups }) => groups)) {
    counts.set(what, (counts.get(what) ?? 0) + count);
  }
  const demands = [...counts].map(([what, needed]) => ({
    what,
    needed,
    spec: parsePartSpec(`electrolytic ${what}`),
  }));
  const reserved = reserveParts(demands, buildStores(notebook));
  return demands.map(({ what, needed }, k) => ({ what, count: needed, ...reserved[k] }));
}

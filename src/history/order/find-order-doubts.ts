import type { Doubt } from "../../doubt.js";
import { median } from "../../dsp/robust.js";
import { groupBy } from "../../text/group-by.js";
import { computeUnlikeness, type Fingerprint, gainFeature } from "./fingerprint.js";

/** A return in the order of play, and the path that it was taken for. */
export interface PlayedReturn {
  readonly path: string;
  readonly family: string;
  readonly file: string;
  readonly print: Fingerprint;
}

export interface OrderInput {
  /** In the order of play; one a path. */
  readonly played: readonly PlayedReturn[];
  /** Paths in the order of the run sheet, with their families. */
  readonly sheet: readonly { readonly path: string; readonly family: string }[];
  /** The last round's fingerprints by path, and its id; absent if there is none. */
  readonly earlier?: { readonly round: string; readonly prints: ReadonlyMap<string, Fingerprint> };
  /** What paths without siblings are like, such as the reference path; none when absent. */
  readonly known?: ReadonlyMap<string, Fingerprint>;
  /**
   * How many returns there were against the paths: `short` where the last paths of a list were left
   * without one, `long` where returns were left over; as many when absent.
   */
  readonly count?: "short" | "long";
}

/** Another reading of the same recordings: the path of each return, undefined for one left over. */
interface Reading {
  readonly paths: readonly (string | undefined)[];
  /** For shifts: which way, and the first path that is another's. */
  readonly shift?: { readonly places: "late" | "early"; readonly first: string };
  readonly doubt: (affected: readonly number[], between?: readonly [string, string]) => Doubt;
}

/** At least this many returns must fit another path better; of families alone, two far better. */
const leastAffected = { earlier: 3, families: 2 } as const;
/** Of the returns whose path would be another, this share must fit that one better. */
const leastShare = 0.6;
/**
 * So much better, in natural logarithms of likelihood: in all, and without the two returns that
 * gain most, since a repair or a new fault makes single returns fit another path; and by families
 * alone, for each of the returns that count.
 */
const leastGain = { inAll: 12, withoutTwo: 3, ofFamily: 6 } as const;
/**
 * Where the number of returns says that one was skipped or played twice, it is only asked where: a
 * single return that fits another path better is enough.
 */
const leastGainOfCount = { earlier: 5, families: 6 } as const;
/** Places that are likelier by less than this are reported together. */
const sameGain = 3;
/** With more files than this only two are swapped at a time. */
const mostPermuted = 4;

/**
 * Looks whether recordings fit the last round, or the families, better in another order than they
 * were taken in: one path skipped or played twice, files named in another order than they were
 * recorded. Every other order of the kind is tried; the likeliest is told where it is far likelier
 * than the one taken, for the returns in doubt one by one as well as in all.
 *
 * @returns one doubt at most
 */
export function findOrderDoubts(input: OrderInput): readonly Doubt[] {
  const { played, earlier } = input;
  if (played.length < 3) return [];
  const costs =
    earlier === undefined ? createFamilyCosts(input) : createEarlierCosts(input, earlier.prints);
  const taken = costs(played.map(({ path }) => path));
  const by = earlier === undefined ? "families" : "earlier";
  const told: { gain: number; moved: readonly number[]; reading: Reading }[] = [];
  for (const reading of listReadings(input)) {
    const { paths, shift } = reading;
    // The count itself says that there is such a shift somewhere.
    const isCounted =
      (input.count === "short" && shift?.places === "late") ||
      (input.count === "long" && shift?.places === "early");
    const least = isCounted ? 1 : leastAffected[by];
    const other = costs(paths);
    const moved = played.flatMap(({ path }, k) =>
      paths[k] !== path && taken[k] !== undefined && other[k] !== undefined ? [k] : [],
    );
    const gains = moved.map((k) => (taken[k] ?? 0) - (other[k] ?? 0));
    const gain = taken.reduce<number>(
      (sum, cost, k) => sum + (cost === undefined || other[k] === undefined ? 0 : cost - other[k]),
      0,
    );
    const better = gains.filter((one) => one > 0).length;
    if (isCounted) {
      const isBetter = better >= 1 && better >= leastShare * moved.length;
      const isFamily = gains.some((one) => one > leastGain.ofFamily);
      if (gain < leastGainOfCount[by] || !(earlier === undefined ? isFamily : isBetter)) continue;
      told.push({ gain, moved, reading });
      continue;
    }
    const isClear =
      earlier === undefined
        ? gains.filter((one) => one > leastGain.ofFamily).length >= least
        : better >= least && better >= leastShare * moved.length;
    if (!isClear || gain < leastGain.inAll) continue;
    const [first = 0, second = 0] = [...gains].sort((a, b) => b - a);
    if (earlier !== undefined && gain - first - second < leastGain.withoutTwo) continue;
    told.push({ gain, moved, reading });
  }
  if (told.length === 0) return [];
  const best = told.reduce((a, b) => (b.gain > a.gain ? b : a));
  return [best.reading.doubt(best.moved, findRange(best, told))];
}

/** The first and the last place from which on a shift is about as likely; undefined for one place. */
function findRange(
  best: { readonly gain: number; readonly reading: Reading },
  told: readonly { readonly gain: number; readonly reading: Reading }[],
): readonly [string, string] | undefined {
  const { shift } = best.reading;
  if (shift === undefined) return undefined;
  const firsts = told.flatMap(({ gain, reading }) =>
    reading.shift?.places === shift.places && gain > best.gain - sameGain
      ? [reading.shift.first]
      : [],
  );
  const last = firsts.at(-1);
  return firsts.length < 2 || last === undefined ? undefined : [firsts[0], last];
}

type Costs = (paths: readonly (string | undefined)[]) => readonly (number | undefined)[];

/** How unlike each return is to the last round's return of the path. */
function createEarlierCosts(
  { played, known }: OrderInput,
  prints: ReadonlyMap<string, Fingerprint>,
): Costs {
  const shifts = played.flatMap(({ path, print }) => {
    const [now, then] = [print[gainFeature], prints.get(path)?.[gainFeature]];
    return now === undefined || then === undefined ? [] : [now - then];
  });
  const shift = shifts.length === 0 ? 0 : median(shifts);
  return (paths) =>
    paths.map((path, k) => {
      const then = path === undefined ? undefined : (prints.get(path) ?? known?.get(path));
      return then === undefined ? undefined : computeUnlikeness(played[k].print, then, shift);
    });
}

/** Fewer than this have no middle. */
const leastSiblings = 3;

/**
 * How unlike each return is to the middle of those that would be its siblings. Where all of them, and
 * none besides, are taken for another family together, they stay what they are to each other: that says
 * nothing.
 */
function createFamilyCosts({ played, sheet, known }: OrderInput): Costs {
  const familyOf = new Map(sheet.map(({ path, family }) => [path, family]));
  return (paths) => {
    const families = groupBy(
      paths.flatMap((path, k) => {
        const family = path === undefined ? undefined : familyOf.get(path);
        const { print, family: from } = played[k];
        return family === undefined ? [] : [{ family, print, from }];
      }),
      ({ family }) => family,
    );
    const middles = new Map(
      [...families].flatMap(([family, own]) => {
        const [{ from: first }] = own;
        const isRenamed = first !== family && own.every(({ from }) => from === first);
        if (isRenamed || own.length < leastSiblings) return [];
        return [[family, middleOf(own.map(({ print }) => print))] as const];
      }),
    );
    return paths.map((path, k) => {
      const alone = path === undefined ? undefined : known?.get(path);
      if (alone !== undefined) return computeUnlikeness(played[k].print, alone);
      const middle = middles.get(path === undefined ? "" : (familyOf.get(path) ?? ""));
      return middle === undefined ? undefined : computeUnlikeness(played[k].print, middle);
    });
  };
}

function middleOf(prints: readonly Fingerprint[]): Fingerprint {
  return prints[0].map((_, k) => {
    const values = prints.flatMap((print) => print[k] ?? []);
    return values.length < leastSiblings ? undefined : median(values);
  });
}

function listReadings(input: OrderInput): readonly Reading[] {
  return [...listShifts(input), ...listFileOrders(input), ...listInputOrders(input)];
}

/** Two inputs in each other's place on every strip, as where the plugs were mistaken. */
function listInputOrders({ played, sheet, earlier }: OrderInput): readonly Reading[] {
  const known = new Set(sheet.map(({ path }) => path));
  const split = (path: string) => {
    const at = path.lastIndexOf("/");
    return { strip: path.slice(0, at), input: path.slice(at + 1) };
  };
  const inputs = [...new Set(played.map(({ path }) => split(path).input))];
  const against = earlier === undefined ? {} : { round: earlier.round };
  return inputs.flatMap((a, i) =>
    inputs.slice(i + 1).map((b): Reading => {
      const paths = played.map(({ path }) => {
        const { strip, input } = split(path);
        const other = input === a ? b : input === b ? a : input;
        const meant = `${strip}/${other}`;
        return known.has(meant) ? meant : path;
      });
      return {
        paths,
        doubt: (affected) => ({
          code: "inputs-exchanged",
          inputs: [a, b],
          affected: affected.length,
          ...against,
        }),
      };
    }),
  );
}

/** From each return on, one path further down the sheet, or further up. */
function listShifts({ played, sheet, earlier }: OrderInput): readonly Reading[] {
  const place = new Map(sheet.map(({ path }, k) => [path, k]));
  const against = earlier === undefined ? {} : { round: earlier.round };
  return ([1, -1] as const).flatMap((by) =>
    played.flatMap(({ path: first, file }, from): Reading[] => {
      if (by < 0 && from === 0) return [];
      const paths = played.map(({ path }, k) => {
        const at = place.get(path);
        return k < from || at === undefined ? path : sheet[at + by]?.path;
      });
      return [
        {
          paths,
          shift: { places: by > 0 ? "late" : "early", first },
          doubt: (affected, between) => ({
            code: "order-shifted",
            places: by > 0 ? "late" : "early",
            file,
            first,
            affected: affected.length,
            ...(between === undefined ? {} : { between }),
            ...against,
          }),
        },
      ];
    }),
  );
}

/** The files in other orders, their returns laid on the same paths. */
function listFileOrders({ played, earlier }: OrderInput): readonly Reading[] {
  const files = [...new Set(played.map(({ file }) => file))];
  const slots = played.map(({ path }) => path);
  const against = earlier === undefined ? {} : { round: earlier.round };
  const ofFile = groupBy(
    played.map(({ file }, k) => ({ file, k })),
    ({ file }) => file,
  );
  return listOrders(files).map((order): Reading => {
    const paths: (string | undefined)[] = played.map(() => undefined);
    order
      .flatMap((file) => ofFile.get(file) ?? [])
      .forEach(({ k }, at) => {
        paths[k] = slots[at];
      });
    return {
      paths,
      doubt: (affected) => ({
        code: "files-exchanged",
        files,
        likelier: order,
        affected: affected.length,
        ...against,
      }),
    };
  });
}

/** All other orders of a few files; of many, those with two of them swapped. */
function listOrders(files: readonly string[]): readonly (readonly string[])[] {
  if (files.length < 2) return [];
  const orders =
    files.length <= mostPermuted
      ? permute(files)
      : files.flatMap((_, i) =>
          files.slice(i + 1).map((_, j) => {
            const swapped = [...files];
            [swapped[i], swapped[i + 1 + j]] = [swapped[i + 1 + j], swapped[i]];
            return swapped;
          }),
        );
  // One file a path: any strip's file may be any other's, and only names would show it.
  return orders.filter((order) => order.some((file, k) => file !== files[k]));
}

function permute<T>(list: readonly T[]): readonly (readonly T[])[] {
  if (list.length < 2) return [list];
  return list.flatMap((one, k) =>
    permute([...list.slice(0, k), ...list.slice(k + 1)]).map((rest) => [one, ...rest]),
  );
}

import type { Doubt } from "../../doubt.js";
import { median } from "../../dsp/robust.js";
import { groupBy } from "../../text/group-by.js";
import { computeUnlikeness, type Fingerprint, gainFeature } from "./fingerprint.js";
import { findRange, isLikelier, type Shift } from "./likelier.js";
import { listOrders } from "./list-orders.js";

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
  readonly shift?: Shift;
  readonly doubt: (affected: readonly number[], between?: readonly [string, string]) => Doubt;
}

/**
 * Checks whether recordings fit the last round, or the families, better in another order than they
 * were taken in: one path skipped or played twice, files named in another order than they were
 * recorded. Every other order of the kind is tried; the likeliest is reported if it is far likelier
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
    const other = costs(paths);
    const moved = played.flatMap(({ path }, k) =>
      paths[k] !== path && taken[k] !== undefined && other[k] !== undefined ? [k] : [],
    );
    const gains = moved.map((k) => (taken[k] ?? 0) - (other[k] ?? 0));
    const gain = taken.reduce<number>(
      (sum, cost, k) => sum + (cost === undefined || other[k] === undefined ? 0 : cost - other[k]),
      0,
    );
    if (isLikelier({ by, isCounted, gain, gains })) told.push({ gain, moved, reading });
  }
  if (told.length === 0) return [];
  const best = told.reduce((a, b) => (b.gain > a.gain ? b : a));
  const range = findRange(
    shiftOf(best),
    told.map((one) => shiftOf(one)),
  );
  return [best.reading.doubt(best.moved, range)];
}

const shiftOf = ({ gain, reading }: { readonly gain: number; readonly reading: Reading }) => ({
  gain,
  shift: reading.shift,
});

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

/** Two inputs exchanged on every strip, as when the plugs were mixed up. */
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

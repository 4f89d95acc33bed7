import type { PathComparison, RoundComparison } from "../../history/compare/types.js";
import { createStandingReader, type Standing } from "../../history/standing.js";
import { toMember } from "../../history/to-path-to-rank.js";
import type { Round, RoundPath } from "../../history/types.js";
import { listSecondSides, withSides } from "../../history/with-sides.js";
import type { PathYears } from "../../history/years.js";
import { computeFamilyStats, type FamilyStats } from "../../rank/family-stats.js";
import type { Drawing } from "./plots/figure.js";
import { createSvgDefs, type SvgDefs } from "./svg-defs.js";

/** A round in the order of the page, with the numbers that the page uses. */
export interface View {
  readonly round: Round;
  readonly baseline?: Baseline;
  /** In the order of the round. */
  readonly paths: readonly PathView[];
  /** In the order of the desk, as far as the round shows it. */
  readonly strips: readonly StripView[];
  readonly inputs: readonly string[];
  readonly families: readonly FamilyView[];
  /** Families of second sides; none in a mono round. */
  readonly sideFamilies: readonly FamilyView[];
  /**
   * Each side of a stereo bus as a separate path, in the order of the round; without one, the
   * paths.
   */
  readonly sides: readonly PathView[];
  /** By the paths' names; empty if there is no older round. */
  readonly years: ReadonlyMap<string, PathYears>;
  readonly pieces: SvgDefs;
  readonly topHz: number;
}

/** An earlier round, and the comparison with it. */
export interface Baseline {
  readonly round: Round;
  readonly comparison: RoundComparison;
}

export interface PathView {
  readonly path: RoundPath;
  /** From 0, in the order of the round; used in ids. */
  readonly number: number;
  readonly stripNumber: number;
  readonly standing: Standing;
  readonly family: FamilyView;
  /** The path in the baseline, and how it changed. */
  readonly before?: RoundPath;
  readonly change?: PathComparison;
  /** Its other side as a path among second sides; absent if it cannot be compared with them. */
  readonly other?: PathView;
}

export interface FamilyView {
  readonly name: string;
  readonly number: number;
  readonly usual?: FamilyStats;
  /** Those that were measured. */
  readonly members: readonly RoundPath[];
}

export interface StripView {
  readonly name: string;
  readonly number: number;
  readonly paths: readonly PathView[];
}

/** Arranges a round, and its baseline if there is one, for the page. */
export function buildView(
  round: Round,
  baseline?: Baseline,
  years: ReadonlyMap<string, PathYears> = new Map(),
): View {
  const standing = createStandingReader(round);
  const sided = withSides(round);
  const seconds = listSecondSides(round);
  const isSecond = new Set(seconds.values());
  const families = familiesIn(sided.paths.filter(({ path }) => !isSecond.has(path)));
  const sideFamilies = familiesIn(
    sided.paths.filter(({ path }) => isSecond.has(path)),
    families.length,
  );
  const strips = unique(round.paths.map(({ strip }) => strip));
  const before = new Map(baseline?.round.paths.map((path) => [path.path, path]));
  const changes = new Map(baseline?.comparison.paths.map((change) => [change.path, change]));
  const all = [...families, ...sideFamilies];
  const familyOf = (path: RoundPath): FamilyView => {
    const family = all.find(({ name }) => name === path.family);
    if (family === undefined) throw new Error(`${path.path} has no family`);
    return family;
  };
  const numbers = new Map(round.paths.map(({ path }, number) => [path, number]));
  const sides = sided.paths.map((path, k): PathView => {
    const number = numbers.get(path.path);
    // A path's drawn curves are used for its family too, unless its other side was measured first.
    const isSame = number !== undefined && round.paths[number].curves === path.curves;
    return {
      path,
      number: isSame ? number : round.paths.length + k,
      stripNumber: strips.indexOf(path.strip),
      standing: standing(path),
      family: familyOf(path),
    };
  });
  const sideOf = new Map(sides.map((one) => [one.path.path, one]));
  const paths = round.paths.map((path, number): PathView => {
    const family = familyOf(path);
    const second = seconds.get(path.path);
    const side = second === undefined ? undefined : sideOf.get(second);
    const isOther = side !== undefined && side.path.curves === path.partner?.curves;
    const other = isOther ? side : undefined;
    const was = before.get(path.path);
    const change = changes.get(path.path);
    return {
      path,
      number,
      stripNumber: strips.indexOf(path.strip),
      standing: standing(path),
      family,
      ...(was === undefined ? {} : { before: was }),
      ...(change === undefined ? {} : { change }),
      ...(other === undefined ? {} : { other }),
    };
  });
  return {
    round,
    ...(baseline === undefined ? {} : { baseline }),
    paths,
    strips: strips.map((name, number) => ({
      name,
      number,
      paths: paths.filter(({ path }) => path.strip === name),
    })),
    inputs: unique(round.paths.map(({ input }) => input)),
    families,
    sideFamilies,
    sides,
    years,
    pieces: createSvgDefs(),
    topHz: topFrequency(round),
  };
}

/** The data for a path's figures. */
export function buildDrawing(
  view: View,
  { path, number, family, before, other }: PathView,
): Drawing {
  const { round, baseline, pieces, topHz } = view;
  const years = view.years.get(path.path);
  const otherYears = other === undefined ? undefined : view.years.get(other.path.path);
  return {
    path,
    number,
    siblings: family.members,
    familyNumber: family.number,
    ...(family.usual === undefined ? {} : { usual: family.usual }),
    ...(baseline === undefined || before === undefined
      ? {}
      : { baseline: { round: baseline.round.id, path: before } }),
    ...(years === undefined ? {} : { years }),
    ...(otherYears === undefined ? {} : { otherYears }),
    signal: round.signal,
    topHz,
    pieces,
  };
}

/** @param from number of the first of them */
function familiesIn(paths: readonly RoundPath[], from = 0): readonly FamilyView[] {
  return unique(paths.map(({ family }) => family)).map((name, k) => {
    const members = paths.filter((p) => p.family === name && p.status === "measured");
    const usual = computeFamilyStats(members.map(toMember));
    return { name, number: from + k, members, ...(usual === undefined ? {} : { usual }) };
  });
}

/** The sweep of the base band ends at 20 kHz, that of the wide one at 40 kHz. */
function topFrequency({ paths }: Round): number {
  const ends = paths.map(({ curves }) => curves.response?.x.at(-1) ?? 0);
  return Math.max(...ends, 0) > 21_000 ? 40_000 : 20_000;
}

function unique(names: readonly string[]): readonly string[] {
  return [...new Set(names)];
}

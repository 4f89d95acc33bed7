import { compareRounds } from "./compare/compare.js";
import type { PathState } from "./compare/types.js";
import { createStandingReader } from "./standing.js";
import type { Round } from "./types.js";

/**
 * Why a path is worth another look before anybody relies on the last round.
 *
 * - `not-measured`: it was asked for, and there is no measurement of it
 * - `setting`: a control or a patch was wrong, and it has not been measured since
 * - `watch`: it stands out, but not by enough to need service
 * - `several-causes`: it needs service, and no cause is likely enough
 * - `one-round-only`: it stands out in one of two rounds only, although nothing on it moved
 */
export type UnsureBecause =
  | "not-measured"
  | "setting"
  | "watch"
  | "several-causes"
  | "one-round-only";

export interface UnsurePath {
  readonly path: string;
  readonly because: UnsureBecause;
}

/** A cause below this leaves open what is wrong, as a share of 1: about one in four is another one. */
const likelyEnough = 0.75;

/**
 * The paths that the last rounds were unsure of, in the desk's order. A later round of some paths
 * decides for those that it measured.
 *
 * @param rounds newest first: partial ones, then the last whole one, then the whole one before
 */
export function listUnsurePaths(rounds: readonly Round[]): readonly UnsurePath[] {
  const at = rounds.findIndex(({ partial }) => partial === undefined);
  const whole = rounds[at];
  if (whole === undefined) return [];
  const before = rounds[at + 1];
  const said = listOf(whole, before);
  // The oldest of the later ones first, so that the newest decides.
  for (const later of rounds.slice(0, at).reverse()) {
    for (const [path, because] of listOf(later, whole)) {
      const measured = later.paths.some((one) => one.path === path && one.status !== "missing");
      if (measured) said.set(path, because);
    }
  }
  return whole.paths.flatMap(({ path }) => {
    const because = said.get(path);
    return because === undefined ? [] : [{ path, because }];
  });
}

function listOf(round: Round, before: Round | undefined): Map<string, UnsureBecause | undefined> {
  const standing = createStandingReader(round);
  const states = new Map<string, PathState>(
    before === undefined
      ? []
      : compareRounds(round, before, "telling").paths.map(({ path, state }) => [path, state]),
  );
  return new Map(
    round.paths.map((path): [string, UnsureBecause | undefined] => {
      const own = standing(path);
      const [cause] = path.causes;
      if (own === "unmeasured") return [path.path, "not-measured"];
      if (own === "setting" || own === "watch") return [path.path, own];
      if (states.get(path.path) === "unsure") return [path.path, "one-round-only"];
      const isOpen = (cause?.probability ?? 0) < likelyEnough;
      return [path.path, own === "service" && isOpen ? "several-causes" : undefined];
    }),
  );
}

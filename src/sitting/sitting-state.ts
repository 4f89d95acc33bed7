import type { DeskPath } from "../desk/types.js";
import type { Decision, SittingTake, TakePlace } from "./types.js";

/** What has been decided so far. */
export interface SittingState {
  /** In the order in which they came in. */
  readonly takes: readonly SittingTake[];
  readonly skipped: readonly string[];
  readonly silent: readonly string[];
  /** Path asked for next, out of turn. */
  readonly asked?: string;
  /** The path that had its turn last. */
  readonly last?: string;
}

export const emptySitting: SittingState = { takes: [], skipped: [], silent: [] };

/**
 * A sitting's state after one more decision.
 *
 * @example
 * applyDecision(emptySitting, { kind: "skip", path: "1/mic" }).skipped; // ["1/mic"]
 */
export function applyDecision(state: SittingState, decision: Decision): SittingState {
  const { asked, ...rest } = state;
  const without = (list: readonly string[], path: string) => list.filter((one) => one !== path);
  switch (decision.kind) {
    case "take": {
      const { kind, ...take } = decision;
      const { path } = take;
      if (path === undefined) return { ...state, takes: [...state.takes, take] };
      return {
        ...rest,
        takes: [...state.takes, take],
        skipped: without(state.skipped, path),
        silent: without(state.silent, path),
        last: path,
      };
    }
    case "assign": {
      const { path } = decision;
      const takes = state.takes.map((take): SittingTake => {
        if (!isSamePlace(take, decision)) return take;
        const { path: _, ...place } = take;
        return { ...place, by: "key", ...(path === undefined ? {} : { path }) };
      });
      return {
        ...state,
        takes,
        ...(path === undefined
          ? {}
          : {
              last: path,
              skipped: without(state.skipped, path),
              silent: without(state.silent, path),
            }),
      };
    }
    case "next":
      return {
        ...state,
        asked: decision.path,
        skipped: without(state.skipped, decision.path),
        silent: without(state.silent, decision.path),
      };
    case "skip":
      return {
        ...rest,
        skipped: [...without(state.skipped, decision.path), decision.path],
        last: decision.path,
      };
    case "silent":
      return {
        ...rest,
        // Earlier returns of it do not count: nothing comes back.
        takes: state.takes.map(({ path, ...take }) =>
          path === undefined || path === decision.path ? take : { ...take, path },
        ),
        silent: [...without(state.silent, decision.path), decision.path],
        last: decision.path,
      };
    case "renamed":
      return {
        ...state,
        takes: state.takes.map((take) =>
          take.file === decision.from ? { ...take, file: decision.file } : take,
        ),
      };
    case "lost":
      return { ...state, takes: state.takes.filter(({ file }) => file !== decision.file) };
  }
}

/**
 * The path whose turn it is: the one asked for; else the next of the sheet without a return that
 * was neither skipped nor silent; after the sheet's end those that were skipped.
 *
 * @param paths wanted, in run-sheet order
 * @returns undefined if each has had its turn
 */
export function getNextPath(state: SittingState, paths: readonly DeskPath[]): DeskPath | undefined {
  if (state.asked !== undefined) return paths.find(({ path }) => path === state.asked);
  const done = new Set([
    ...state.takes.flatMap(({ path }) => path ?? []),
    ...state.skipped,
    ...state.silent,
  ]);
  const from = paths.findIndex(({ path }) => path === state.last) + 1;
  const open = [...paths.slice(from), ...paths.slice(0, from)].filter(
    ({ path }) => !done.has(path),
  );
  return open[0];
}

/** Paths that still need a return, without those skipped or silent. */
export function listOpenPaths(
  state: SittingState,
  paths: readonly DeskPath[],
): readonly DeskPath[] {
  const done = new Set([
    ...state.takes.flatMap(({ path }) => path ?? []),
    ...state.skipped,
    ...state.silent,
  ]);
  return paths.filter(({ path }) => !done.has(path));
}

/** Two positions within this many frames are the same: no two returns start so close together. */
const nearFrames = 20_000;

/** Whether two places in a recording are the same return. */
export function isSamePlace(a: TakePlace, b: TakePlace): boolean {
  return (
    a.file === b.file &&
    a.channel === b.channel &&
    Math.abs(a.startSample - b.startSample) < nearFrames
  );
}

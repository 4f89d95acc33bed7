import { assignPassReturns, type PassFile } from "../../capture/assign/pass-returns.js";
import { buildReturnTable } from "../../capture/find/return-table.js";
import type { Assignment, SignalReturn } from "../../capture/types.js";
import { type PassPlan, planPasses } from "../../desk/passes.js";
import type { Desk } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import type { NothingBack, NotMeasured } from "../../not-measured.js";
import type { ReadCapture } from "../read/read-captures.js";
import { parseWantedPaths } from "./wanted-paths.js";

/** What was played in passes. */
export interface PlayedPasses {
  readonly plan: PassPlan;
  /** Passes as they were recorded, by their numbers in the plan. */
  readonly heard: readonly number[];
  /** By path, all whose strips were open on its recording channel; itself alone where it had one. */
  readonly open: ReadonlyMap<string, readonly string[]>;
}

/** Whose the returns of passes are. */
export interface PlacedPasses {
  /** Files that hold passes. */
  readonly files: ReadonlySet<string>;
  readonly assignments: readonly Assignment[];
  readonly unassigned: readonly SignalReturn[];
  readonly unheard: ReadonlyMap<string, NothingBack>;
  readonly spoilt: ReadonlyMap<string, NotMeasured>;
  readonly doubts: readonly Doubt[];
  readonly played: PlayedPasses;
}

/**
 * Gives the returns of passes their paths, by the outputs that they answer.
 *
 * @param wanted the only paths that are asked for; all of the desk when absent
 * @returns undefined where no capture holds a pass
 * @throws DeskroundError `usage` where the desk file says nothing of outputs
 */
export function placePasses(
  captures: readonly ReadCapture[],
  desk: Desk,
  wanted: readonly string[] | undefined,
): PlacedPasses | undefined {
  const own = captures.filter(({ found }) => found.returns.some((one) => one.output !== undefined));
  if (own.length === 0) return undefined;
  if (desk.outputs === undefined) throw withoutOutputs(own);
  const returns = own.flatMap(({ found }) =>
    found.returns.filter(({ output }) => output !== undefined),
  );
  const cuts = own.flatMap(({ found }) => found.cuts);
  const paths = wanted === undefined ? desk.paths : parseWantedPaths(wanted, desk.paths);
  const plan = planPasses(desk, paths);
  const files = own.map(
    ({ info, found }): PassFile => ({
      file: info.file,
      sampleRate: info.sampleRate,
      channels: info.channels,
      frames: info.frames,
      emptyChannels: found.heard.flatMap(({ peak }, channel) => (peak === 0 ? [channel] : [])),
    }),
  );
  const turnS = (one: SignalReturn) => buildReturnTable(one).lengthS;
  const { silent, open, heard, ...rest } = assignPassReturns(returns, cuts, plan, files, turnS);
  return {
    ...rest,
    files: new Set(files.map(({ file }) => file)),
    unheard: new Map(silent.map(({ path, heard: own }) => [path, own])),
    played: { plan, heard, open },
  };
}

function withoutOutputs(captures: readonly ReadCapture[]): DeskroundError {
  const outputs = captures.flatMap(({ found }) => found.returns.flatMap((one) => one.output ?? []));
  const most = Math.max(...outputs);
  return new DeskroundError(
    "usage",
    `${captures[0].info.file}: holds a pass that several outputs played, but desk.yaml does not say what they are connected to.`,
    `Write it as for the run sheet: outputs: ${most} for ${most} that are patched by hand, or what each is wired to.`,
  );
}

import { choosePassPlan, fitsOtherPlan } from "../../capture/assign/choose-pass-plan.js";
import { findHighestChannel, type PassFile } from "../../capture/assign/heard-passes.js";
import { assignPassReturns } from "../../capture/assign/pass-returns.js";
import { toDisplayName } from "../../capture/containers/open-file.js";
import { buildReturnTable } from "../../capture/find/return-table.js";
import type { Assignment, SignalReturn } from "../../capture/types.js";
import { type PassPlan, pickPasses, planPasses } from "../../desk/passes.js";
import type { Desk } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import type { NothingBack, NotMeasured } from "../../not-measured.js";
import { formatList } from "../../text/format-list.js";
import type { ReadCapture } from "../read/read-captures.js";
import { parseWantedPaths } from "./wanted-paths.js";

/** The passes played. */
export interface PlayedPasses {
  readonly plan: PassPlan;
  /** Numbers in the plan of the passes recorded, in that order. */
  readonly heard: readonly number[];
  /**
   * By path, all paths whose strips were open on its recording channel; only itself if it had its
   * own channel.
   */
  readonly open: ReadonlyMap<string, readonly string[]>;
}

/**
 * Peaks below this are digital silence, with dither of 24 bit at most: no converter is quieter than
 * 130 dB below full scale (common practice).
 */
const emptyPeak = 3e-7;

/** Files without a channel that desk.yaml names but no pass uses. */
function listFewerChannels(
  files: readonly PassFile[],
  { buses, channels }: Pick<Desk, "buses" | "channels">,
  { passes }: PassPlan,
  told: readonly Doubt[],
): readonly Doubt[] {
  const named = (buses ?? channels)?.length ?? 0;
  const used = findHighestChannel(passes) + 1;
  return files.flatMap((one): Doubt[] => {
    const isTold = told.some((doubt) => "file" in doubt && doubt.file === one.file);
    // Exactly the channels that the passes use may be recorded on purpose.
    return !isTold && one.channels > used && one.channels < named
      ? [{ code: "channels-fewer", file: one.file, channels: one.channels, named }]
      : [];
  });
}

/** Returns of passes with their paths. */
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

/** Which passes may have been recorded, if not the whole desk is requested. */
export interface WantedPasses {
  readonly paths: readonly string[];
  /**
   * `planned`: passes planned for these paths alone; `whole`: those of the whole desk that contain
   * them; every path in them counts.
   */
  readonly passes: "planned" | "whole";
}

/**
 * Assigns the returns of passes to paths, by their outputs.
 *
 * @param wanted paths requested; the whole desk when absent
 *
 * @returns undefined if no capture holds a pass
 *
 * @throws DeskroundError `usage` if the desk file says nothing about outputs, or it is unclear
 * whether they are passes of the whole desk
 */
export function placePasses(
  captures: readonly ReadCapture[],
  desk: Desk,
  wanted: WantedPasses | undefined,
): PlacedPasses | undefined {
  const own = captures.filter(({ found }) => found.returns.some((one) => one.output !== undefined));
  if (own.length === 0) return undefined;
  if (desk.outputs === undefined) throw withoutOutputs(own);
  const returns = own.flatMap(({ found }) =>
    found.returns.filter(({ output }) => output !== undefined),
  );
  const cuts = own.flatMap(({ found }) => found.cuts);
  const files = own.map(
    ({ info, found }): PassFile => ({
      file: info.file,
      sampleRate: info.sampleRate,
      channels: info.channels,
      frames: info.frames,
      emptyChannels: found.heard.flatMap(({ peak }, channel) =>
        peak < emptyPeak ? [channel] : [],
      ),
      copiedChannels: findCopies(found.heard),
    }),
  );
  const turnS = (one: SignalReturn) => buildReturnTable(one).lengthS;
  const all = planPasses(desk);
  const some = wanted === undefined ? all : planWanted(desk, all, wanted);
  const plans = wanted === undefined ? [all] : [some, all];
  const plan = choosePassPlan(returns, files, plans, turnS);
  if (plan === undefined) throw ofWhichPlan(own, some, all, wanted);
  const { silent, open, heard, ...rest } = assignPassReturns(
    returns,
    cuts,
    plan,
    files,
    turnS,
    (desk.buses ?? desk.channels)?.length,
  );
  const doubts = [...rest.doubts, ...listFewerChannels(files, desk, plan, rest.doubts)];
  if (
    wanted?.passes === "planned" &&
    plan === some &&
    fitsOtherPlan(returns, files, plan, plans, turnS)
  ) {
    doubts.push({
      code: "passes-of-which-sheet",
      passes: heard.length,
      planned: all.passes.length,
    });
  }
  // In passes of the whole desk only the paths requested count, unless all are to count.
  const only = wanted?.passes === "planned" && plan === all ? new Set(wanted.paths) : undefined;
  const isWanted = (path: string) => only?.has(path) ?? true;
  return {
    ...rest,
    doubts,
    assignments: rest.assignments.filter(({ path }) => isWanted(path)),
    spoilt: new Map([...rest.spoilt].filter(([path]) => isWanted(path))),
    files: new Set(files.map(({ file }) => file)),
    unheard: new Map(
      silent.filter(({ path }) => isWanted(path)).map(({ path, heard: own }) => [path, own]),
    ),
    played: { plan, heard, open },
  };
}

/** Channels with exactly the peak and power of an earlier one. */
function findCopies(
  heard: readonly { readonly peak: number; readonly rms: number }[],
): ReadonlyMap<number, number> {
  const copies = new Map<number, number>();
  for (const [channel, { peak, rms }] of heard.entries()) {
    if (peak === 0) continue;
    const first = heard.findIndex((one) => one.peak === peak && one.rms === rms);
    if (first < channel) copies.set(channel, first);
  }
  return copies;
}

function planWanted(desk: Desk, all: PassPlan, { paths, passes }: WantedPasses): PassPlan {
  return passes === "whole"
    ? pickPasses(all, paths)
    : planPasses(desk, parseWantedPaths(paths, desk.paths));
}

function ofWhichPlan(
  captures: readonly ReadCapture[],
  some: PassPlan,
  all: PassPlan,
  wanted: WantedPasses | undefined,
): DeskroundError {
  const files = formatList(captures.map(({ info }) => toDisplayName(info.file)));
  const numbers = some.passes.map(({ number }) => String(number));
  return wanted?.passes === "whole"
    ? new DeskroundError(
        "usage",
        `${files}: it is not clear which passes these are. The sheet of the re-test has ${numbers.length === 1 ? "pass" : "passes"} ${formatList(numbers)} of the ${all.passes.length} of the whole desk.`,
        "Give a recording of each pass on the sheet, or name each file after its pass, e.g. `pass 3.wav`.",
      )
    : new DeskroundError(
        "usage",
        `${files}: it is not clear whether these passes are of the whole desk (${all.passes.length}) or of the sheet for these paths alone (${some.passes.length}).`,
        "Give the recordings of all passes on the sheet; those of the whole desk without --only.",
      );
}

function withoutOutputs(captures: readonly ReadCapture[]): DeskroundError {
  const outputs = captures.flatMap(({ found }) => found.returns.flatMap((one) => one.output ?? []));
  const most = Math.max(...outputs);
  return new DeskroundError(
    "usage",
    `${captures[0].info.file}: holds a pass that several outputs played, but desk.yaml does not say what they are connected to.`,
    `Write it as you did for the run sheet: outputs: ${most} for ${most} that are patched by hand, or what each is wired to.`,
  );
}

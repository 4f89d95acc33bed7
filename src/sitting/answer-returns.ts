import { findEarlierRound } from "../analysis/judge/find-earlier-round.js";
import type { getChannelKind } from "../analysis/read/channel-kind.js";
import { buildRoundSignal } from "../analysis/read/round-head.js";
import { measureTakes } from "../analysis/takes/measure-takes.js";
import { readFileName } from "../capture/assign/file-names.js";
import type { DeskPath } from "../desk/types.js";
import type { Round } from "../history/types.js";
import type { HeardReturn } from "./hear-recordings.js";
import type { AnswerJudging } from "./judge-answers.js";
import type { SittingTakes } from "./measured-takes.js";
import type { SittingBook } from "./sitting-book.js";
import { getNextPath, isSamePlace, type SittingState } from "./sitting-state.js";
import type { SittingOptions, SittingWorld } from "./sitting-world.js";
import type { SittingTake, TakenBy } from "./types.js";

/** Assigns returns to their paths as they end, measures them and has them judged. */
export interface ReturnAnswering {
  readonly answer: (returns: readonly HeardReturn[]) => Promise<void>;
  /** The return that was answered last. */
  readonly last: SittingTake | undefined;
}

/** What is needed to assign and answer a return. */
export interface AnsweringParts {
  readonly book: SittingBook;
  readonly takes: SittingTakes;
  readonly judging: AnswerJudging;
  readonly channelsOf: ReturnType<typeof getChannelKind>;
  readonly isPaused: () => boolean;
  /** Called when returns of this sitting are about to be measured. */
  readonly onMeasure: () => void;
}

/** Starts answering the returns of a sitting. */
export function createReturnAnswering(
  options: SittingOptions,
  { tell }: Pick<SittingWorld, "tell">,
  { book, takes, judging, channelsOf, isPaused, onMeasure }: AnsweringParts,
): ReturnAnswering {
  const { desk } = options;
  /** Recordings that hold passes of several outputs. */
  const passes = new Set<string>();
  let isEarlierKnown = false;
  let lastTake: SittingTake | undefined;

  const place = (heard: HeardReturn): SittingTake | undefined => {
    const { file, channel, startSample } = heard.found;
    const here = { file, channel, startSample };
    const known = book.state.takes.find((take) => isSamePlace(take, here));
    // Decided before: it is answered only once, even after a restart.
    if (known !== undefined) return takes.find(known) === undefined ? known : undefined;
    const atS = startSample / heard.info.sampleRate;
    if (isPaused()) {
      tell({ kind: "unplaced", file, atS, why: "paused" });
      book.decide({ kind: "take", ...here, by: "key" });
      return undefined;
    }
    const { paths, by } = candidatesOf(heard, options, channelsOf);
    const next =
      getNextPath(by === "turn" ? book.state : withoutAsked(book.state), paths) ??
      (by === "turn" ? undefined : paths.at(-1));
    if (next === undefined) {
      tell({ kind: "unplaced", file, atS, why: "complete" });
      book.decide({ kind: "take", ...here, by: "turn" });
      return undefined;
    }
    book.decide({ kind: "take", ...here, path: next.path, by });
    return book.state.takes.find((take) => isSamePlace(take, here));
  };

  /**
   * Why a return cannot belong to this sitting: its readings could not be compared with the others.
   *
   * @param others that came with it
   */
  const refuseSignal = (
    { found }: HeardReturn,
    others: readonly { readonly heard: HeardReturn }[],
  ): "wrong-signal" | "other-signal" | undefined => {
    const { profile, band, signalVersion } = found;
    const { played } = options;
    if (
      played !== undefined &&
      (played.profile !== profile || played.version !== signalVersion || played.band !== band)
    ) {
      return "wrong-signal";
    }
    const counted = book.state.takes.flatMap((take) =>
      take.path === undefined ? [] : (takes.find(take)?.found ?? []),
    );
    const first = counted[0] ?? others[0]?.heard.found;
    const isOther =
      first !== undefined &&
      (first.profile !== profile || first.signalVersion !== signalVersion || first.band !== band);
    return isOther ? "other-signal" : undefined;
  };

  const answer = async (returns: readonly HeardReturn[]) => {
    const placed: { heard: HeardReturn; take: SittingTake }[] = [];
    for (const heard of returns) {
      const { file, channel, startSample, profile } = heard.found;
      if (profile === "controls") {
        tell({ kind: "controls-pass", file });
        continue;
      }
      const refused = refuseSignal(heard, placed);
      if (refused !== undefined) {
        const here = { file, channel, startSample };
        if (book.state.takes.some((take) => isSamePlace(take, here))) continue;
        tell({ kind: "unplaced", file, atS: startSample / heard.info.sampleRate, why: refused });
        book.decide({ kind: "take", ...here, by: "turn" });
        continue;
      }
      if (heard.found.output !== undefined) {
        if (!passes.has(file)) tell({ kind: "outputs-pass", file });
        passes.add(file);
        continue;
      }
      const take = place(heard);
      if (take !== undefined) placed.push({ heard, take });
    }
    if (placed.length === 0) return;
    onMeasure();
    for (const { heard } of placed) takes.addInfo(heard.info);
    const captures = [...takes.infos.values()].map((info) => ({ info }));
    const jobs = new Map(placed.map(({ heard }, k) => [String(k), [heard.found]]));
    const results = await measureTakes(jobs, captures, desk, options.played, () => {});
    placed.forEach(({ take }, k) => {
      const [result] = results.get(String(k)) ?? [];
      if (result !== undefined) takes.add(take, result);
      lastTake = take;
    });
    if (!isEarlierKnown) {
      isEarlierKnown = true;
      const [{ heard }] = placed;
      judging.setEarlier(await findEarlier(heard, options));
    }
    judging.judge(placed.flatMap(({ take }) => take.path ?? []));
  };

  return {
    answer,
    get last() {
      return lastTake;
    },
  };
}

/** The last round with which returns like this one can be compared. */
async function findEarlier(
  { found, info }: HeardReturn,
  { desk, date, calibration, folder }: SittingOptions,
): Promise<Round | undefined> {
  const head = {
    desk: {
      ...(desk.id === undefined ? {} : { id: desk.id }),
      name: desk.name,
      mainsHz: desk.mainsHz,
    },
    date,
    signal: buildRoundSignal(found, info.sampleRate),
    calibration: calibration ?? null,
  };
  // On a short morning the quick signal plays, and the last round is of the standard one.
  return (await findEarlierRound(folder, head)) ?? (await findEarlierRound(folder, head, "any"));
}

function withoutAsked(state: SittingState): SittingState {
  const { asked: _, ...rest } = state;
  return rest;
}

/** The paths that a return may belong to, and what decides it. */
function candidatesOf(
  { info, found }: HeardReturn,
  { desk, wanted }: Pick<SittingOptions, "desk" | "wanted">,
  channelsOf: ReturnType<typeof getChannelKind>,
): { readonly paths: readonly DeskPath[]; readonly by: TakenBy } {
  if (channelsOf(info) === "paths") {
    const own = desk.channels?.[found.channel] ?? [];
    return { paths: wanted.filter(({ path }) => own.includes(path)), by: "channel" };
  }
  const name = readFileName(found.file, desk.paths, desk.captures);
  if (name.says !== "paths") return { paths: wanted, by: "turn" };
  const named = wanted.filter((one) => name.paths.some(({ path }) => path === one.path));
  if (named.length === 0) return { paths: wanted, by: "turn" };
  return { paths: named, by: named.length === 1 ? "name" : "turn" };
}

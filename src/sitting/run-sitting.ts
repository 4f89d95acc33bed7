import { existsSync } from "node:fs";
import { join } from "node:path";
import { findEarlierRound } from "../analysis/judge/find-earlier-round.js";
import { getChannelKind } from "../analysis/read/channel-kind.js";
import { explainNoReturnOnChannel } from "../analysis/read/no-return.js";
import { buildRoundSignal } from "../analysis/read/round-head.js";
import { type MeasuredTake, measureTakes } from "../analysis/takes/measure-takes.js";
import { readFileName } from "../capture/assign/file-names.js";
import { findMarker } from "../capture/find/locate-return.js";
import { buildReturnTable } from "../capture/find/return-table.js";
import type { RecordingInfo } from "../capture/types.js";
import { parsePath } from "../desk/paths.js";
import type { Desk, DeskPath } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import type { Round, UsedCalibration } from "../history/types.js";
import type { NothingBack } from "../not-measured.js";
import { buildNextPatch } from "../service/run-sheet.js";
import type { SignalTable } from "../signal/types.js";
import type { ChainCheck } from "./check-chain.js";
import { createFollower, type FollowEvent } from "./follow/follow-recordings.js";
import { createScreen } from "./follow/screen-recordings.js";
import { createHearing, type HeardNow, type HeardReturn } from "./hear-recordings.js";
import type { Journal } from "./journal.js";
import { judgeSitting } from "./judge-sitting.js";
import type { SittingEvent } from "./sitting-events.js";
import {
  applyDecision,
  emptySitting,
  getNextPath,
  isSamePlace,
  listOpenPaths,
  type SittingState,
} from "./sitting-state.js";
import type { Answer, Decision, SittingCommand, SittingTake, TakenBy, TakePlace } from "./types.js";
import { createWatch } from "./watch-recordings.js";

/** What a sitting works with. */
export interface SittingOptions {
  readonly desk: Desk;
  /** The desk's folder. */
  readonly folder: string;
  /** File or folder, absolute. */
  readonly target: string;
  readonly leftAlone: readonly string[];
  /** In run-sheet order. */
  readonly wanted: readonly DeskPath[];
  readonly calibration: UsedCalibration | undefined;
  /** The signal that was played, when the user names it. */
  readonly played: SignalTable | undefined;
  readonly journal: Journal;
  /** What was decided in the same sitting before. */
  readonly decisions: readonly Decision[];
  /** Ends by itself once each path has had its turn and the recording has stopped. */
  readonly end: "by-command" | "when-complete";
  /** ISO 8601. */
  readonly date: string;
}

/** How a sitting meets the world. */
export interface SittingWorld {
  readonly tell: (event: SittingEvent) => void;
  /** Commands that came since the last look, in their order. */
  readonly takeCommands: () => readonly SittingCommand[];
  /** Plays the signal and records it into a file; absent where a person does both. */
  readonly play?: (recording: string) => Promise<void>;
  /** Plays a soft signal and looks at what comes back. */
  readonly checkChain?: () => Promise<ChainCheck>;
  /** Writes a note at a path into the notebook. */
  readonly note: (path: string, text: string) => void;
  /** Words for what was heard in place of a signal: findings and causes quote them. */
  readonly formatHeard: (heard: NothingBack) => string;
  /** A clock that never goes back, seconds. */
  readonly nowS: () => number;
  readonly wait: (ms: number) => Promise<void>;
}

/** How a sitting ended. */
export interface SittingOutcome {
  readonly state: SittingState;
  readonly how: "end" | "leave";
  /** Recordings that returns of it lie in, in the order in which they began. */
  readonly files: readonly string[];
  /** Whether the channels of a recording are paths. */
  readonly isOnChannels: (file: string) => boolean;
}

/** Between two looks, milliseconds: while a signal plays, and while nothing does. */
const lookMs = { playing: 100, quiet: 500 } as const;
/** Recorders write at least so often, seconds: that long a signal is taken to play on. */
const mostBetweenS = 10;
/** With so many measured paths of other families an answer does not wait for them to be judged too. */
const manyOthers = 12;

/**
 * Runs a sitting: follows the recordings, answers each return as it ends, and writes down every
 * decision as it is made.
 *
 * @throws DeskroundError `cannot-write` where the journal cannot be written
 */
export async function runSitting(
  options: SittingOptions,
  world: SittingWorld,
): Promise<SittingOutcome> {
  const { desk, wanted, journal } = options;
  const { tell } = world;
  const channelsOf = getChannelKind(desk.channels, []);
  const follower = createFollower(options);
  const screen = createScreen();
  const hearing = createHearing(channelsOf);
  /** By place. */
  const measured = new Map<string, MeasuredTake>();
  const infos = new Map<string, RecordingInfo>();
  const files: string[] = [];
  /** Recordings that hold passes of several outputs. */
  const passes = new Set<string>();
  let state = options.decisions.reduce(applyDecision, emptySitting);
  let answers: ReadonlyMap<string, Answer> = new Map();
  let earlier: Round | undefined | "unknown" = "unknown";
  let shared = "";
  let isPaused = false;
  let toldTurn = "";
  let lastTake: SittingTake | undefined;
  /** Nothing sounds before somebody has said that the monitors are muted. */
  let isMuted = false;
  let isPlaying = false;
  let isChecked = false;
  /** The return of what plays was answered; a next play may be asked for before the recorder ends. */
  let isAnswered = false;
  let playsNext = false;
  const watch = createWatch(options.target, world.nowS());
  /** When a part of a return was heard last, where none has ended since. */
  let playedAtS: number | undefined;
  /** Asked for; a recorder that still runs is waited for. */
  let ending: SittingOutcome["how"] | undefined;

  const decide = (decision: Decision) => {
    journal.append(decision);
    state = applyDecision(state, decision);
  };
  const tellTurn = () => {
    const next = getNextPath(state, wanted);
    const done = wanted.length - listOpenPaths(state, wanted).length;
    const key = next === undefined ? "complete" : `${next.path} ${done}`;
    if (key === toldTurn) return;
    toldTurn = key;
    if (next === undefined) {
      tell({ kind: "complete", end: options.end });
      return;
    }
    const before = desk.paths.find(({ path }) => path === state.last);
    const patch = buildNextPatch(desk, next, before);
    tell({ kind: "turn", turn: { path: next.path, done, wanted: wanted.length, patch } });
  };

  const place = (heard: HeardReturn): SittingTake | undefined => {
    const { file, channel, startSample } = heard.found;
    const here = { file, channel, startSample };
    const known = state.takes.find((take) => isSamePlace(take, here));
    // Decided before: answered once, be it after a restart.
    if (known !== undefined) return measured.has(keyOf(known)) ? undefined : known;
    const atS = startSample / heard.info.sampleRate;
    if (isPaused) {
      tell({ kind: "unplaced", file, atS, why: "paused" });
      decide({ kind: "take", ...here, by: "key" });
      return undefined;
    }
    const { paths, by } = candidatesOf(heard, options, channelsOf);
    const next =
      getNextPath(by === "turn" ? state : withoutAsked(state), paths) ??
      (by === "turn" ? undefined : paths.at(-1));
    if (next === undefined) {
      tell({ kind: "unplaced", file, atS, why: "complete" });
      decide({ kind: "take", ...here, by: "turn" });
      return undefined;
    }
    decide({ kind: "take", ...here, path: next.path, by });
    return state.takes.find((take) => isSamePlace(take, here));
  };

  /**
   * Why a return cannot be one of this sitting: its readings would be no siblings of the others.
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
    const counted = state.takes.flatMap((take) =>
      take.path === undefined ? [] : (measured.get(keyOf(take))?.found ?? []),
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
        if (state.takes.some((take) => isSamePlace(take, here))) continue;
        tell({ kind: "unplaced", file, atS: startSample / heard.info.sampleRate, why: refused });
        decide({ kind: "take", ...here, by: "turn" });
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
    isAnswered = true;
    for (const { heard } of placed) infos.set(heard.info.file, heard.info);
    const captures = [...infos.values()].map((info) => ({ info }));
    const jobs = new Map(placed.map(({ heard }, k) => [String(k), [heard.found]]));
    const results = await measureTakes(jobs, captures, desk, options.played, () => {});
    placed.forEach(({ take }, k) => {
      const [result] = results.get(String(k)) ?? [];
      if (result !== undefined) measured.set(keyOf(take), result);
      lastTake = take;
    });
    if (earlier === "unknown") {
      const [{ heard }] = placed;
      const signal = buildRoundSignal(heard.found, heard.info.sampleRate);
      const head = {
        desk: {
          ...(desk.id === undefined ? {} : { id: desk.id }),
          name: desk.name,
          mainsHz: desk.mainsHz,
        },
        date: options.date,
        signal,
        calibration: options.calibration ?? null,
      };
      // On a short morning the quick signal plays, and the last round is of the standard one.
      earlier =
        (await findEarlierRound(options.folder, head)) ??
        (await findEarlierRound(options.folder, head, "any"));
    }
    judge(placed.flatMap(({ take }) => take.path ?? []));
  };

  /** The last returns, as many in a row as fit another path than the one that they were taken for. */
  const listMoves = (): readonly { readonly take: SittingTake; readonly fits: string }[] => {
    const moves: { take: SittingTake; fits: string }[] = [];
    for (const take of state.takes.toReversed()) {
      const fits = answers.get(take.path ?? "")?.fits;
      if (fits === undefined) break;
      moves.unshift({ take, fits });
    }
    return moves;
  };

  /** @param fresh paths that are answered in any case */
  const judge = (fresh: readonly string[]) => {
    const recorded = new Map<string, MeasuredTake[]>();
    for (const take of state.takes) {
      const one = measured.get(keyOf(take));
      if (one === undefined || take.path === undefined) continue;
      recorded.set(take.path, [...(recorded.get(take.path) ?? []), one]);
    }
    const judgeOnly = (paths: readonly DeskPath[]) =>
      judgeSitting({
        desk: { ...desk, paths },
        recorded: new Map(
          paths.flatMap(({ path }): [string, MeasuredTake[]][] => {
            const own = recorded.get(path);
            return own === undefined ? [] : [[path, own]];
          }),
        ),
        captures: [...infos.values()].map((info) => ({ info })),
        calibration: options.calibration,
        silent: state.silent,
        earlier: earlier === "unknown" ? undefined : earlier,
        formatHeard: world.formatHeard,
      });
    const tellFresh = (own: Answer | undefined) => {
      const take = state.takes.findLast((one) => one.path === own?.path);
      if (own !== undefined && take !== undefined) tell({ kind: "answer", answer: own, take });
    };
    // On a large desk the siblings answer first, and all the others are looked at after that.
    const families = new Set(
      desk.paths.flatMap(({ path, family }) => (fresh.includes(path) ? family : [])),
    );
    const siblings = desk.paths.filter(({ family }) => families.has(family));
    const others =
      [...recorded.keys()].length - siblings.filter((one) => recorded.has(one.path)).length;
    const isTold = fresh.length > 0 && others >= manyOthers;
    if (isTold) {
      const first = judgeOnly(siblings).answers;
      for (const path of fresh) tellFresh(withoutHeard(first.get(path), recorded));
      answers = new Map([...answers, ...[...first].filter(([path]) => fresh.includes(path))]);
    }
    const verdict = judgeOnly(desk.paths);
    if (!isTold) for (const path of fresh) tellFresh(verdict.answers.get(path));
    for (const [path, own] of verdict.answers) {
      const before = answers.get(path);
      if (before === undefined || isSameAnswer(before, own)) continue;
      if (fresh.includes(path) && !isTold) continue;
      tell({ kind: "revised", answer: own, before });
    }
    answers = verdict.answers;
    const moves = listMoves();
    if (fresh.length > 0 && moves.length > 1) {
      tell({
        kind: "shifted",
        moves: moves.map(({ take: { path = "" }, fits }) => ({ path, fits })),
      });
    }
    const key = verdict.shared.map(({ part, aspect }) => `${part.kind} ${aspect}`).join();
    if (key !== shared && verdict.shared.length > 0)
      tell({ kind: "shared", shared: verdict.shared });
    shared = key;
  };

  let failure: unknown;
  const fail = (error: unknown) => {
    failure = error;
  };
  const play = async (path: DeskPath, sound: (recording: string) => Promise<void>) => {
    isPlaying = true;
    isAnswered = false;
    try {
      if (world.checkChain !== undefined && !isChecked) {
        tell({ kind: "sound", what: "soft", path: path.path });
        const chain = await world.checkChain();
        tell({ kind: "chain", chain });
        if (chain.heard !== undefined) return;
        isChecked = true;
      }
      tell({ kind: "sound", what: "signal", path: path.path });
      await sound(nameRecording(options.target, path.path));
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      tell({ kind: "refused", error });
    } finally {
      isPlaying = false;
      tell({ kind: "sound", what: "over", path: path.path });
    }
  };

  const reassign = (last: SittingTake | undefined, path: string | undefined) => {
    if (last === undefined || path === undefined) return undefined;
    decide(assignment(last, path));
    if (last.path !== undefined && last.path !== path) decide({ kind: "next", path: last.path });
    judge([path]);
    return undefined;
  };

  /** The last returns are of the paths that they fit; what was passed over has its turn next. */
  const moveToFits = () => {
    const moves = listMoves();
    const [first] = moves;
    if (first === undefined) return undefined;
    for (const { take, fits } of moves) decide(assignment(take, fits));
    const moved = new Set(moves.map(({ fits }) => fits));
    const passedOver = moves.find(({ take: { path = "" } }) => !moved.has(path))?.take.path;
    if (passedOver !== undefined) decide({ kind: "next", path: passedOver });
    judge([...moved]);
    return undefined;
  };

  const obey = (command: SittingCommand): "end" | "leave" | undefined => {
    const next = getNextPath(state, wanted);
    const last = lastTake && state.takes.find((take) => lastTake && isSamePlace(take, lastTake));
    switch (command.do) {
      case "end":
      case "leave":
        return command.do;
      case "play":
        playsNext = isPlaying && isAnswered;
        if (world.play === undefined || isPlaying || next === undefined) return undefined;
        if (isMuted) void play(next, world.play).catch(fail);
        else tell({ kind: "ask-muted" });
        return undefined;
      case "muted":
        if (isMuted || world.play === undefined || next === undefined) return undefined;
        isMuted = true;
        void play(next, world.play).catch(fail);
        return undefined;
      case "pause":
        isPaused = !isPaused;
        tell({ kind: "done", command: isPaused ? "pause" : "resume" });
        return undefined;
      case "again":
        if (state.last === undefined) return undefined;
        decide({ kind: "next", path: state.last });
        tell({ kind: "done", command: "again", path: state.last });
        return undefined;
      case "back": {
        const from = wanted.findIndex(({ path }) => path === (next?.path ?? ""));
        const before = wanted[(from < 0 ? wanted.length : from) - 1];
        if (before !== undefined) decide({ kind: "next", path: before.path });
        return undefined;
      }
      case "skip":
      case "silent":
        if (next === undefined) return undefined;
        decide({ kind: command.do, path: next.path });
        tell({
          kind: "done",
          command: command.do === "skip" && answers.has(next.path) ? "kept" : command.do,
          path: next.path,
        });
        if (command.do === "silent") judge([]);
        return undefined;
      case "next":
        decide({ kind: "next", path: parsePath(command.path, desk.paths).path });
        return undefined;
      case "drop":
        if (last === undefined) return undefined;
        decide(assignment(last));
        if (last.path !== undefined) decide({ kind: "next", path: last.path });
        tell({
          kind: "done",
          command: "drop",
          ...(last.path === undefined ? {} : { path: last.path }),
        });
        judge([]);
        return undefined;
      case "accept":
        if (!isMuted && world.play !== undefined && listMoves().length === 0) {
          return obey({ do: "muted" });
        }
        return moveToFits();
      case "assign":
        return reassign(last, parsePath(command.path, desk.paths).path);

      case "note": {
        const path = state.last ?? next?.path;
        if (path === undefined) return undefined;
        world.note(path, command.text);
        tell({ kind: "done", command: "note", path });
        return undefined;
      }
    }
  };

  const followed = (event: FollowEvent) => {
    tell({ kind: "recording", event });
    if (event.kind === "renamed") {
      decide({ kind: "renamed", from: event.from, file: event.file });
      watch.rename(event.from, event.file);
      const info = infos.get(event.from);
      infos.delete(event.from);
      if (info !== undefined) infos.set(event.file, { ...info, file: event.file });
      if (files.includes(event.from)) files[files.indexOf(event.from)] = event.file;
      for (const take of state.takes.filter(({ file }) => file === event.file)) {
        const from = keyOf({ ...take, file: event.from });
        const one = measured.get(from);
        measured.delete(from);
        if (one) measured.set(keyOf(take), { ...one, found: { ...one.found, file: event.file } });
      }
    }
    if (event.kind !== "replaced" && event.kind !== "gone") return;
    const lost = state.takes.filter(({ file }) => file === event.file);
    if (lost.length === 0) return;
    decide({ kind: "lost", file: event.file });
    const paths = lost.flatMap(({ path }) => path ?? []);
    tell({ kind: "lost", file: event.file, paths });
    const [first] = paths.filter((path) => !state.takes.some((take) => take.path === path));
    if (first !== undefined) decide({ kind: "next", path: first });
    judge([]);
  };

  for (;;) {
    if (failure !== undefined) throw failure;
    if (ending !== undefined && !isPlaying) return outcome(ending);
    if (playsNext && !isPlaying) obey({ do: "play" });
    for (const command of world.takeCommands()) {
      try {
        const how = obey(command);
        ending = how ?? ending;
      } catch (error) {
        if (!(error instanceof DeskroundError) || error.code === "cannot-write") throw error;
        tell({ kind: "refused", error });
      }
    }
    const { recordings: all, events } = follower.poll(world.nowS(), screen.isAside);
    for (const event of events) followed(event);
    const { recordings, passedOver } = await screen.look(all, (file) =>
      state.takes.some((take) => take.file === file),
    );
    for (const one of passedOver) tell({ kind: "passed-over", passedOver: one });
    for (const { file } of recordings) if (!files.includes(file)) files.push(file);
    const heard = await hearing.listen(recordings);
    if (heard.now !== undefined) tell(nowEvent(heard.now));
    for (const event of watch.look(recordings, heard.now, world.nowS())) tell(event);
    await answer(heard.returns);
    for (const { file, heard: levels } of heard.empty) {
      const path = getNextPath(state, wanted)?.path;
      const { heard: own, blame } = explainNoReturnOnChannel(levels);
      tell({
        kind: "nothing-came",
        file,
        heard: own,
        blame,
        ...(path === undefined ? {} : { path }),
      });
    }
    for (const { info, cut } of heard.cuts) {
      const path = getNextPath(state, wanted)?.path;
      const atS = cut.atSample / info.sampleRate;
      tell({ kind: "cut", cut, atS, ...(path === undefined ? {} : { path }) });
    }
    tellTurn();
    const isOver = recordings.length > 0 && recordings.every(({ state: own }) => own === "ended");
    const isIdle = heard.now === undefined;
    if (
      options.end === "when-complete" &&
      isOver &&
      isIdle &&
      listOpenPaths(state, wanted).length === 0
    ) {
      return outcome("end");
    }
    // Who ends it has been looked at once more, and does not wait.
    if (ending !== undefined && !isPlaying) continue;
    if (heard.now !== undefined) playedAtS = heard.now.open ? world.nowS() : undefined;
    const isOn = playedAtS !== undefined && world.nowS() - playedAtS < mostBetweenS;
    await world.wait(isOn ? lookMs.playing : lookMs.quiet);
  }

  function outcome(how: SittingOutcome["how"]): SittingOutcome {
    const used = files.filter((file) => state.takes.some((take) => take.file === file));
    const isOnChannels = (file: string) => {
      const info = infos.get(file);
      return info !== undefined && channelsOf(info) === "paths";
    };
    return { state, how, files: used, isOnChannels };
  }
}

/** A name for a recording that tells its path, and that no file has yet. */
function nameRecording(folder: string, path: string): string {
  const stem = path.replaceAll("/", "-").replace(/[^\p{L}\p{N}._ -]/gu, "_");
  for (let take = 1; ; take++) {
    const file = join(folder, take === 1 ? `${stem}.wav` : `${stem} take ${take}.wav`);
    if (!existsSync(file)) return file;
  }
}

function keyOf({ file, channel, startSample }: TakePlace): string {
  return `${startSample} ${channel} ${file}`;
}

/** A path of another family that was heard already is not what a return fits. */
function withoutHeard(
  answer: Answer | undefined,
  heard: ReadonlyMap<string, unknown>,
): Answer | undefined {
  if (answer?.fits === undefined || !heard.has(answer.fits)) return answer;
  const { fits: _, ...rest } = answer;
  return rest;
}

function withoutAsked(state: SittingState): SittingState {
  const { asked: _, ...rest } = state;
  return rest;
}

function assignment({ file, channel, startSample }: SittingTake, path?: string): Decision {
  return { kind: "assign", file, channel, startSample, ...(path === undefined ? {} : { path }) };
}

/** The paths that a return can be of, and what tells. */
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

function nowEvent(now: HeardNow): SittingEvent {
  const { open } = now;
  if (open === undefined) return { kind: "now", now };
  if (open.profile === "controls") return { kind: "now", now, segment: "controls-pass" };
  const table = buildReturnTable({
    profile: open.profile,
    signalVersion: open.version,
    band: open.band,
  });
  const inS = now.atS - open.startSample / now.sampleRate;
  const segment =
    table.segments.find(({ startS, lengthS }) => inS >= startS && inS < startS + lengthS) ??
    (inS < table.lengthS ? undefined : findMarker(table, "end"));
  const share = Math.max(0, Math.min(1, inS / table.lengthS));
  return { kind: "now", now, share, ...(segment === undefined ? {} : { segment }) };
}

/** What a person at the desk would do is the same. */
function isSameAnswer(a: Answer, b: Answer): boolean {
  return a.standing === b.standing && a.cause?.cause === b.cause?.cause && a.fits === b.fits;
}

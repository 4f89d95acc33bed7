import { getChannelKind } from "../analysis/read/channel-kind.js";
import { explainNoReturnOnChannel } from "../analysis/read/no-return.js";
import { findMarker } from "../capture/find/locate-return.js";
import { buildReturnTable } from "../capture/find/return-table.js";
import { DeskroundError } from "../errors.js";
import { buildNextPatch } from "../service/run-sheet.js";
import { createReturnAnswering } from "./answer-returns.js";
import { createFollower, type FollowEvent } from "./follow/follow-recordings.js";
import { createScreen } from "./follow/screen-recordings.js";
import { createHearing, type HeardNow } from "./hear-recordings.js";
import { createAnswerJudging } from "./judge-answers.js";
import { createSittingTakes } from "./measured-takes.js";
import { type CommandObeying, createCommandObeying } from "./obey-commands.js";
import { createSignalPlayer } from "./play-signal.js";
import { createSittingBook } from "./sitting-book.js";
import type { SittingEvent } from "./sitting-events.js";
import { getNextPath, listOpenPaths } from "./sitting-state.js";
import type { SittingOptions, SittingOutcome, SittingWorld } from "./sitting-world.js";
import { createWatch } from "./watch-recordings.js";

/** Between two looks, milliseconds: while a signal plays, and while nothing does. */
const lookMs = { playing: 100, quiet: 500 } as const;
/**
 * Recorders write at least this often, seconds; for that long a signal is assumed to be still
 * playing.
 */
const mostBetweenS = 10;
/**
 * Runs a sitting: follows the recordings, answers each return as it ends, and writes down every
 * decision as it is made.
 *
 * @throws DeskroundError `cannot-write` if the journal cannot be written
 */
export async function runSitting(
  options: SittingOptions,
  world: SittingWorld,
): Promise<SittingOutcome> {
  const { desk, wanted } = options;
  const { tell } = world;
  const channelsOf = getChannelKind(desk.channels, []);
  const follower = createFollower(options);
  const screen = createScreen();
  const hearing = createHearing(channelsOf);
  const book = createSittingBook(options.journal, options.decisions);
  const takes = createSittingTakes();
  const judging = createAnswerJudging(options, world, book, takes);
  const player = createSignalPlayer(world, options.target);
  const answering = createReturnAnswering(options, world, {
    book,
    takes,
    judging,
    channelsOf,
    isPaused: () => commands.isPaused,
    onMeasure: player.setAnswered,
  });
  const commands: CommandObeying = createCommandObeying(options, world, {
    book,
    judging,
    player,
    getLast: () => answering.last,
  });
  const files: string[] = [];
  let toldTurn = "";
  const watch = createWatch(options.target, world.nowS());
  /** When part of a return was last recorded, unless one has ended since. */
  let playedAtS: number | undefined;
  /** Set when the end was requested but a recorder is still running. */
  let ending: SittingOutcome["how"] | undefined;

  const tellTurn = () => {
    const next = getNextPath(book.state, wanted);
    const done = wanted.length - listOpenPaths(book.state, wanted).length;
    const key = next === undefined ? "complete" : `${next.path} ${done}`;
    if (key === toldTurn) return;
    toldTurn = key;
    if (next === undefined) {
      tell({ kind: "complete", end: options.end });
      return;
    }
    const before = desk.paths.find(({ path }) => path === book.state.last);
    const patch = buildNextPatch(desk, next, before);
    tell({ kind: "turn", turn: { path: next.path, done, wanted: wanted.length, patch } });
  };

  const followed = (event: FollowEvent) => {
    tell({ kind: "recording", event });
    if (event.kind === "renamed") {
      book.decide({ kind: "renamed", from: event.from, file: event.file });
      watch.rename(event.from, event.file);
      if (files.includes(event.from)) files[files.indexOf(event.from)] = event.file;
      const own = book.state.takes.filter(({ file }) => file === event.file);
      takes.rename(event.from, event.file, own);
    }
    if (event.kind !== "replaced" && event.kind !== "gone") return;
    const lost = book.state.takes.filter(({ file }) => file === event.file);
    if (lost.length === 0) return;
    book.decide({ kind: "lost", file: event.file });
    const paths = lost.flatMap(({ path }) => path ?? []);
    tell({ kind: "lost", file: event.file, paths });
    const [first] = paths.filter((path) => !book.state.takes.some((take) => take.path === path));
    if (first !== undefined) book.decide({ kind: "next", path: first });
    judging.judge([]);
  };

  for (;;) {
    if (player.failure !== undefined) throw player.failure.error;
    if (ending !== undefined && !player.isPlaying) return outcome(ending);
    if (commands.playsNext && !player.isPlaying) commands.obey({ do: "play" });
    for (const command of world.takeCommands()) {
      try {
        const how = commands.obey(command);
        ending = how ?? ending;
      } catch (error) {
        if (!(error instanceof DeskroundError) || error.code === "cannot-write") throw error;
        tell({ kind: "refused", error });
      }
    }
    const { recordings: all, events } = follower.poll(world.nowS(), screen.isAside);
    for (const event of events) followed(event);
    const { recordings, passedOver } = await screen.look(all, (file) =>
      book.state.takes.some((take) => take.file === file),
    );
    for (const one of passedOver) tell({ kind: "passed-over", passedOver: one });
    for (const { file } of recordings) if (!files.includes(file)) files.push(file);
    const heard = await hearing.listen(recordings);
    if (heard.now !== undefined) tell(nowEvent(heard.now));
    for (const event of watch.look(recordings, heard.now, world.nowS())) tell(event);
    await answering.answer(heard.returns);
    for (const { file, heard: levels } of heard.empty) {
      const path = getNextPath(book.state, wanted)?.path;
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
      const path = getNextPath(book.state, wanted)?.path;
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
      listOpenPaths(book.state, wanted).length === 0
    ) {
      return outcome("end");
    }
    // Who ends it has been looked at once more, and does not wait.
    if (ending !== undefined && !player.isPlaying) continue;
    if (heard.now !== undefined) playedAtS = heard.now.open ? world.nowS() : undefined;
    const isOn = playedAtS !== undefined && world.nowS() - playedAtS < mostBetweenS;
    await world.wait(isOn ? lookMs.playing : lookMs.quiet);
  }

  function outcome(how: SittingOutcome["how"]): SittingOutcome {
    const used = files.filter((file) => book.state.takes.some((take) => take.file === file));
    const isOnChannels = (file: string) => {
      const info = takes.infos.get(file);
      return info !== undefined && channelsOf(info) === "paths";
    };
    return { state: book.state, how, files: used, isOnChannels };
  }
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

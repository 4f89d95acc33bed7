import { parsePath } from "../desk/paths.js";
import type { AnswerJudging } from "./judge-answers.js";
import type { SignalPlayer } from "./play-signal.js";
import type { SittingBook } from "./sitting-book.js";
import { getNextPath, isSamePlace } from "./sitting-state.js";
import type { SittingOptions, SittingWorld } from "./sitting-world.js";
import type { Decision, SittingCommand, SittingTake } from "./types.js";

/** Carries out commands from the person at the desk or a script. */
export interface CommandObeying {
  /**
   * @returns how the sitting should end, if the command asks for that
   * @throws DeskroundError `usage` for a path that does not exist
   */
  readonly obey: (command: SittingCommand) => "end" | "leave" | undefined;
  readonly isPaused: boolean;
  /** Whether a requested play is waiting for the previous one to end. */
  readonly playsNext: boolean;
}

/** What commands act upon. */
export interface ObeyingParts {
  readonly book: SittingBook;
  readonly judging: AnswerJudging;
  readonly player: SignalPlayer;
  /** The return that was answered last. */
  readonly getLast: () => SittingTake | undefined;
}

/** Starts taking commands, not paused. */
export function createCommandObeying(
  { desk, wanted }: Pick<SittingOptions, "desk" | "wanted">,
  { tell, note }: Pick<SittingWorld, "tell" | "note">,
  { book, judging, player, getLast }: ObeyingParts,
): CommandObeying {
  let isPaused = false;
  let playsNext = false;

  const reassign = (last: SittingTake | undefined, path: string | undefined) => {
    if (last === undefined || path === undefined) return undefined;
    book.decide(assignment(last, path));
    if (last.path !== undefined && last.path !== path)
      book.decide({ kind: "next", path: last.path });
    judging.judge([path]);
    return undefined;
  };

  /** Moves the last returns to the paths that they fit; the skipped path has its turn next. */
  const moveToFits = () => {
    const moves = judging.listMoves();
    const [first] = moves;
    if (first === undefined) return undefined;
    for (const { take, fits } of moves) book.decide(assignment(take, fits));
    const moved = new Set(moves.map(({ fits }) => fits));
    const passedOver = moves.find(({ take: { path = "" } }) => !moved.has(path))?.take.path;
    if (passedOver !== undefined) book.decide({ kind: "next", path: passedOver });
    judging.judge([...moved]);
    return undefined;
  };

  const obey = (command: SittingCommand): "end" | "leave" | undefined => {
    const next = getNextPath(book.state, wanted);
    const answered = getLast();
    const last = answered && book.state.takes.find((take) => isSamePlace(take, answered));
    switch (command.do) {
      case "end":
      case "leave":
        return command.do;
      case "play":
        playsNext = player.isPlaying && player.isAnswered;
        if (!player.canPlay || player.isPlaying || next === undefined) return undefined;
        if (player.isMuted) player.start(next);
        else tell({ kind: "ask-muted" });
        return undefined;
      case "muted":
        if (player.isMuted || !player.canPlay || next === undefined) return undefined;
        player.setMuted();
        player.start(next);
        return undefined;
      case "pause":
        isPaused = !isPaused;
        tell({ kind: "done", command: isPaused ? "pause" : "resume" });
        return undefined;
      case "again":
        if (book.state.last === undefined) return undefined;
        book.decide({ kind: "next", path: book.state.last });
        tell({ kind: "done", command: "again", path: book.state.last });
        return undefined;
      case "back": {
        const from = wanted.findIndex(({ path }) => path === (next?.path ?? ""));
        const before = wanted[(from < 0 ? wanted.length : from) - 1];
        if (before !== undefined) book.decide({ kind: "next", path: before.path });
        return undefined;
      }
      case "skip":
      case "silent":
        if (next === undefined) return undefined;
        book.decide({ kind: command.do, path: next.path });
        tell({
          kind: "done",
          command: command.do === "skip" && judging.isAnswered(next.path) ? "kept" : command.do,
          path: next.path,
        });
        if (command.do === "silent") judging.judge([]);
        return undefined;
      case "next":
        book.decide({ kind: "next", path: parsePath(command.path, desk.paths).path });
        return undefined;
      case "drop":
        if (last === undefined) return undefined;
        book.decide(assignment(last));
        if (last.path !== undefined) book.decide({ kind: "next", path: last.path });
        tell({
          kind: "done",
          command: "drop",
          ...(last.path === undefined ? {} : { path: last.path }),
        });
        judging.judge([]);
        return undefined;
      case "accept":
        if (!player.isMuted && player.canPlay && judging.listMoves().length === 0) {
          return obey({ do: "muted" });
        }
        return moveToFits();
      case "assign":
        return reassign(last, parsePath(command.path, desk.paths).path);
      case "note": {
        const path = book.state.last ?? next?.path;
        if (path === undefined) return undefined;
        note(path, command.text);
        tell({ kind: "done", command: "note", path });
        return undefined;
      }
    }
  };

  return {
    obey,
    get isPaused() {
      return isPaused;
    },
    get playsNext() {
      return playsNext;
    },
  };
}

function assignment({ file, channel, startSample }: SittingTake, path?: string): Decision {
  return { kind: "assign", file, channel, startSample, ...(path === undefined ? {} : { path }) };
}

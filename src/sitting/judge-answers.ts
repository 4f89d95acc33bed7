import type { MeasuredTake } from "../analysis/takes/measure-takes.js";
import type { DeskPath } from "../desk/types.js";
import type { Round } from "../history/types.js";
import { judgeSitting } from "./judge-sitting.js";
import type { SittingTakes } from "./measured-takes.js";
import type { SittingBook } from "./sitting-book.js";
import type { SittingOptions, SittingWorld } from "./sitting-world.js";
import type { Answer, SittingTake } from "./types.js";

/** Judges the paths of a sitting again as returns come in. */
export interface AnswerJudging {
  /**
   * Judges everything so far, and reports what is new or has changed.
   *
   * @param fresh paths that are answered in any case
   */
  readonly judge: (fresh: readonly string[]) => void;
  /** The last returns, as many in a row as fit another path than the one that they were taken for. */
  readonly listMoves: () => readonly { readonly take: SittingTake; readonly fits: string }[];
  readonly isAnswered: (path: string) => boolean;
  /** The last round that can be compared with this one. */
  readonly setEarlier: (round: Round | undefined) => void;
}

/**
 * From this many measured paths of other families on, an answer does not wait for them to be
 * judged.
 */
const manyOthers = 12;

/** Starts judging the paths of a sitting. */
export function createAnswerJudging(
  options: SittingOptions,
  world: Pick<SittingWorld, "tell">,
  book: SittingBook,
  takes: SittingTakes,
): AnswerJudging {
  const { desk } = options;
  const { tell } = world;
  let answers: ReadonlyMap<string, Answer> = new Map();
  let earlier: Round | undefined;
  let shared = "";

  const listMoves = (): readonly { readonly take: SittingTake; readonly fits: string }[] => {
    const moves: { take: SittingTake; fits: string }[] = [];
    for (const take of book.state.takes.toReversed()) {
      const fits = answers.get(take.path ?? "")?.fits;
      if (fits === undefined) break;
      moves.unshift({ take, fits });
    }
    return moves;
  };

  const judge = (fresh: readonly string[]) => {
    const recorded = new Map<string, MeasuredTake[]>();
    for (const take of book.state.takes) {
      const one = takes.find(take);
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
        captures: [...takes.infos.values()].map((info) => ({ info })),
        calibration: options.calibration,
        silent: book.state.silent,
        earlier,
      });
    const tellFresh = (own: Answer | undefined) => {
      const take = book.state.takes.findLast((one) => one.path === own?.path);
      if (own !== undefined && take !== undefined) tell({ kind: "answer", answer: own, take });
    };
    // On a large desk the siblings are judged first, and all others after that.
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

  return {
    judge,
    listMoves,
    isAnswered: (path) => answers.has(path),
    setEarlier(round) {
      earlier = round;
    },
  };
}

/** Drops a match with a path of another family that was heard already. */
function withoutHeard(
  answer: Answer | undefined,
  heard: ReadonlyMap<string, unknown>,
): Answer | undefined {
  if (answer?.fits === undefined || !heard.has(answer.fits)) return answer;
  const { fits: _, ...rest } = answer;
  return rest;
}

/** Whether a person at the desk would do the same about both. */
function isSameAnswer(a: Answer, b: Answer): boolean {
  return a.standing === b.standing && a.cause?.cause === b.cause?.cause && a.fits === b.fits;
}

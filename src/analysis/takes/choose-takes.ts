import { parsePath } from "../../desk/paths.js";
import type { DeskPath } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import type { OtherTake, RoundTake, TakeChoice } from "../../history/types.js";
import type { TakeFault } from "../../not-measured.js";
import type { MeasuredTake } from "./measure-takes.js";

/** The chosen take of a path, and the others. */
export interface ChosenTake {
  readonly counts: MeasuredTake;
  /** From 1; absent if it is the only one. */
  readonly number?: number;
  readonly chosen?: TakeChoice;
  readonly others: readonly { readonly number: number; readonly one: MeasuredTake }[];
}

/**
 * Reads the takes chosen by the user: `7/mic=1` for the first one of 7/mic.
 *
 * @returns number of the take by path
 * @throws DeskroundError `usage`
 */
export function parseAskedTakes(
  texts: readonly string[],
  paths: readonly DeskPath[],
): ReadonlyMap<string, number> {
  const asked = new Map<string, number>();
  for (const text of texts) {
    const [, name, number] = /^(.+)=\s*(\d{1,4})$/.exec(text.trim()) ?? [];
    if (name === undefined || Number(number) === 0) {
      throw new DeskroundError(
        "usage",
        `--take ${text}: a take is written path=number, counted from 1.`,
        "For example --take 7/mic=1 for the first take of 7/mic.",
      );
    }
    let path: string;
    try {
      path = parsePath(name, paths).path;
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
      throw new DeskroundError(error.code, `--take: ${error.message}`, error.hint, error);
    }
    if (asked.has(path)) {
      throw new DeskroundError(
        "usage",
        `--take names two takes of ${path}.`,
        "Only one take of a path can count.",
      );
    }
    asked.set(path, Number(number));
  }
  return asked;
}

/**
 * Decides which take of each path counts: the one requested, or else the latest, unless its
 * recording is worse than an earlier one.
 *
 * @param takes of each path, the latest last
 * @param asked from {@link parseAskedTakes}
 * @throws DeskroundError `usage` for a take that does not exist
 */
export function chooseTakes(
  takes: ReadonlyMap<string, readonly MeasuredTake[]>,
  asked: ReadonlyMap<string, number>,
): ReadonlyMap<string, ChosenTake> {
  for (const [path, number] of asked) {
    const there = takes.get(path)?.length ?? 0;
    if (number <= there) continue;
    const message =
      there === 0
        ? `--take ${path}=${number}: no return of ${path} was found.`
        : `--take ${path}=${number}: ${path} has ${there === 1 ? "only one take" : `${there} takes`}.`;
    throw new DeskroundError("usage", message, "Takes are counted from 1, the latest last.");
  }
  return new Map([...takes].map(([path, own]) => [path, chooseOne(own, asked.get(path))]));
}

function chooseOne(takes: readonly MeasuredTake[], asked: number | undefined): ChosenTake {
  if (takes.length === 1) return { counts: takes[0], others: [] };
  const harms = takes.map((one) => harmOf(one));
  const latest = takes.length - 1;
  const best = harms.lastIndexOf(Math.min(...harms));
  const at = asked === undefined ? best : asked - 1;
  const others = takes.map((one, k) => ({ number: k + 1, one })).filter((_, k) => k !== at);
  const chosen = asked !== undefined ? "asked" : at === latest ? "latest" : "health";
  return { counts: takes[at], number: at + 1, chosen, others };
}

/** How bad a take's recording is: takes are chosen by recording quality, never by readings. */
function harmOf({ unusable, unheard, doubts = [] }: MeasuredTake): number {
  if (unusable !== undefined) return 3;
  if (unheard !== undefined) return 2;
  return doubts.length > 0 ? 1 : 0;
}

/** What is wrong with a take's recording; undefined for a healthy one. */
function faultOf({ unusable, unheard, doubts = [] }: MeasuredTake): TakeFault | undefined {
  if (unusable !== undefined) return unusable;
  if (unheard !== undefined) return { code: "nothing-back", heard: unheard };
  if (doubts.includes("clipped")) return { code: "converter-clipped" };
  return doubts.includes("empty-side") ? { code: "side-empty" } : undefined;
}

/** The take that counts, as stored in a round. */
export function buildRoundTake({ counts, number, chosen }: ChosenTake): RoundTake {
  return {
    ...placeOf(counts),
    ...(number === undefined ? {} : { number }),
    ...(chosen === undefined ? {} : { chosen }),
  };
}

/** The takes that do not count, as stored in a round. */
export function buildOtherTakes({ others }: ChosenTake): readonly OtherTake[] {
  return others.map(({ number, one }) => {
    const because = faultOf(one);
    return {
      ...placeOf(one),
      number,
      status: one.measurement ? "measured" : "unusable",
      ...(because === undefined ? {} : { because }),
      readings: one.measurement?.readings ?? {},
    };
  });
}

function placeOf({ found, measurement, doubts = [] }: MeasuredTake): RoundTake {
  const { file, endsIn, channel, startSample, driftPpm, partner, output } = found;
  const both = partner && measurement?.partner && !doubts.includes("empty-side");
  const second = both ? { partnerChannel: partner.channel } : {};
  const end = endsIn === undefined ? {} : { endsIn };
  const played = output === undefined ? {} : { output };
  return { file, ...end, channel, ...played, ...second, startSample, driftPpm };
}

/** More paths with several takes than this are not named individually. */
const maxNamed = 5;

/** Doubts saying which take counts, for every path with several; brief if it is the latest. */
export function listTakeDoubts(chosen: ReadonlyMap<string, ChosenTake>): readonly Doubt[] {
  const several = [...chosen].filter(([, { others }]) => others.length > 0);
  const latest = several.filter(([, one]) => one.chosen === "latest");
  const short = latest.length > maxNamed;
  const named = several.filter(([, one]) => !short || one.chosen !== "latest");
  const paths = latest.slice(0, maxNamed).map(([path]) => path);
  const rest: readonly Doubt[] = short
    ? [{ code: "paths-with-takes", count: latest.length, paths }]
    : [];
  return [...named.map(([path, one]) => takeDoubt(path, one)), ...rest];
}

function takeDoubt(
  path: string,
  { counts, number = 1, chosen = "health", others }: ChosenTake,
): Doubt {
  const { file } = counts.found;
  const isElsewhere = others.every(({ one }) => one.found.file !== file);
  const latest = others.at(-1);
  const because = latest === undefined ? undefined : faultOf(latest.one);
  const isWorse = chosen === "health" && latest !== undefined && because !== undefined;
  return {
    code: "several-takes",
    path,
    count: others.length + 1,
    chosen,
    number,
    ...(isElsewhere ? { file } : {}),
    ...(isWorse ? { worse: { number: latest.number, because } } : {}),
  };
}

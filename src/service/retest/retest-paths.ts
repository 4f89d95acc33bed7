import type { SectionKind } from "../../desk/section-kinds.js";
import type { Desk, DeskPath, DeskPlace } from "../../desk/types.js";
import type { RoundShared } from "../../history/types.js";
import type { Notebook } from "../notebook/types.js";

/** Which strips to measure again before the desk is closed. */
export interface RetestPaths {
  /** Strips that were worked on. */
  readonly touched: readonly string[];
  /** Strips next to them and on the same card, and enough others to determine the common change. */
  readonly neighbours: readonly string[];
  /** All of their inputs, in the order of the run sheet. */
  readonly paths: readonly DeskPath[];
  /** Whether parts that strips share were worked on, or are planned. */
  readonly worksOnShared: boolean;
  /** Sections that were worked on, as the notebook names them. */
  readonly sections: readonly string[];
}

/**
 * Kinds of sections that pass the strips' signal or feed them; for these, some strips are measured
 * again.
 */
const heardKinds: readonly SectionKind[] = ["supply", "bus", "group", "master"];

/** Number of strips sharing a faulty part, and of others, needed to show whether it is repaired. */
const leastSharing = 3;
const leastBesides = 2;

/** Number of untouched strips for the common change; one of them could be faulty. */
const leastUntouched = 3;

/**
 * The paths of a re-test: those of strips named by `note done` or an opening since the round or, if
 * nothing was noted, of those that the plan pulls; also their neighbours, which may have been
 * disturbed. If shared parts were worked on, or a section that feeds or sums strips, also some of
 * the strips that share them.
 *
 * @param since date of the round of the plan; undefined: any time
 *
 * @param planned strips that the plan pulls, and sections that it works on
 * @param shared faults of shared parts that the round found
 */
export function listRetestPaths(
  desk: Desk,
  notebook: Notebook,
  since: string | undefined,
  planned: readonly DeskPlace[],
  shared: readonly Pick<RoundShared, "paths">[] = [],
): RetestPaths {
  // Strips with something taken off count as worked on, even without a repair.
  const repairs = notebook.entries.flatMap(({ line }) =>
    (line.kind === "repair" ||
      (line.kind === "off" && (line.strip !== undefined || line.section !== undefined))) &&
    (since === undefined || line.date.slice(0, 10) >= since.slice(0, 10))
      ? [line]
      : [],
  );
  const worked = new Set(
    repairs.length > 0 ? repairs.map(({ strip }) => strip) : planned.map(({ strip }) => strip),
  );
  const elsewhere = (repairs.length > 0 ? repairs : planned).filter(
    ({ strip }) => strip === undefined,
  );
  const heard = elsewhere.filter(
    ({ sectionKind }) => sectionKind === undefined || heardKinds.includes(sectionKind),
  );
  const worksOnShared = heard.length > 0 || (shared.length > 0 && repairs.length === 0);
  const touched = desk.strips.filter((strip) => worked.has(strip));
  const beside = new Set(touched.flatMap((strip) => besides(strip, desk)));
  // Work noted for the whole desk is on the shared part that the round found, if any.
  const fed = heard
    .filter(({ section }) => section !== undefined || shared.length === 0)
    .map(({ section }) => ({ paths: listFedPaths(section, desk) }));
  for (const { paths } of worksOnShared ? [...shared, ...fed] : []) {
    for (const strip of listSharing(paths, desk, touched)) beside.add(strip);
  }
  // The nearest others, until there are enough untouched strips.
  const left = [...desk.strips].sort((a, b) => apart(a, touched, desk) - apart(b, touched, desk));
  for (const strip of touched.length === 0 ? [] : left) {
    const untouched = [...beside].filter((one) => !worked.has(one)).length;
    if (untouched >= leastUntouched) break;
    beside.add(strip);
  }
  const neighbours = desk.strips.filter((strip) => beside.has(strip) && !worked.has(strip));
  const all = new Set([...touched, ...neighbours]);
  const paths = desk.paths.filter(({ strip }) => all.has(strip));
  const sections = [...new Set(elsewhere.flatMap(({ section }) => section ?? []))];
  return { touched, neighbours, paths, worksOnShared, sections };
}

/** The paths that a section feeds, directly or through others; all if not given. */
function listFedPaths(section: string | undefined, desk: Desk): readonly string[] {
  const reached = new Set<string>();
  const follow = (name: string): void => {
    if (reached.has(name)) return;
    reached.add(name);
    for (const next of desk.sections.find((one) => one.name === name)?.feeds ?? []) follow(next);
  };
  if (section !== undefined) follow(section);
  const own = desk.paths.filter(({ strip }) => reached.has(strip));
  return (own.length > 0 ? own : desk.paths).map(({ path }) => path);
}

/**
 * Some strips of a shared part, including those at its ends, and the nearest that do not share it.
 */
function listSharing(
  paths: readonly string[],
  desk: Desk,
  touched: readonly string[],
): readonly string[] {
  const hit = new Set(paths);
  const own = new Set(desk.paths.filter(({ path }) => hit.has(path)).map(({ strip }) => strip));
  const inside = desk.strips.filter((strip) => own.has(strip));
  const known = inside.filter((strip) => touched.includes(strip)).length;
  const untouched = inside.filter((strip) => !touched.includes(strip));
  const wanted = Math.max(0, Math.min(untouched.length, leastSharing - known));
  const spread = Array.from(
    { length: wanted },
    (_, k) => untouched[Math.round((k * (untouched.length - 1)) / Math.max(1, wanted - 1))],
  );
  const outside = desk.strips
    .filter((strip) => !own.has(strip))
    .sort((a, b) => apart(a, inside, desk) - apart(b, inside, desk));
  return [...spread, ...outside.slice(0, leastBesides)];
}

function besides(strip: string, desk: Desk): readonly string[] {
  const at = desk.strips.indexOf(strip);
  const cards = desk.construction.parts.filter(
    (part) => part.kind === "card" && part.strips.includes(strip),
  );
  return [
    ...desk.strips.slice(Math.max(0, at - 1), at),
    ...desk.strips.slice(at + 1, at + 2),
    ...cards.flatMap((card) => card.strips),
  ];
}

function apart(strip: string, touched: readonly string[], desk: Desk): number {
  const at = desk.strips.indexOf(strip);
  return Math.min(...touched.map((one) => Math.abs(desk.strips.indexOf(one) - at)));
}

import type { Construction } from "../../desk/construction.js";
import type { StripDownBook } from "../../desk/strip-down/types.js";
import type { Desk } from "../../desk/types.js";
import type { PartRole } from "../../diagnose/bench.js";
import { type BenchToolId, benchToolIds } from "../../diagnose/bench-tools.js";
import { findPhantomSupply, phantomSupplies } from "../../diagnose/meter-tolerance.js";
import type { Round } from "../../history/types.js";
import { workCautions } from "../cautions.js";
import { formatQuantity, parseQuantity } from "../meter/quantity.js";
import { isOpenNote } from "../notebook/is-open-note.js";
import {
  isOfWholeDesk,
  listDangersAt,
  listOpenDangers,
  type OpenDanger,
} from "../notebook/open-dangers.js";
import { listRecaps, mergeRecaps } from "../notebook/recaps.js";
import type { Notebook } from "../notebook/types.js";
import { buildStores, reserveParts, type Stores } from "../stores/ledger.js";
import { type PartSpec, parsePartSpec } from "../stores/part-spec.js";
import { type CapacitorLife, estimateCapacitorLife } from "./ageing.js";
import { chooseRepairs, type OpeningWork, type StripTimes } from "./choose.js";
import { findItemBoards, listOutOrder } from "./find-boards.js";
import type { FaultyControl } from "./from-controls.js";
import { groupBySection } from "./group-by-section.js";
import { listPlanItems } from "./items.js";
import { listNotPlanned } from "./list-not-planned.js";
import { listUntold, nothingUnread, type Unread } from "./list-untold.js";
import { mergeParts } from "./merge-parts.js";
import { formatFeedPair, partRoles } from "./part-roles.js";
import { isPlaceOpened, listPhases } from "./phases.js";
import { getPreferredValue } from "./preferred.js";
import type {
  LeftItem,
  OutsideItem,
  Plan,
  PlanItem,
  PlanOff,
  PlanPart,
  PlanPlace,
  PlanStrip,
} from "./types.js";

export interface PlanInput {
  readonly desk: Desk;
  /** The latest full round; undefined: the notebook alone. */
  readonly round: Round | undefined;
  /** Partial rounds since, the newest first. */
  readonly later?: readonly Round[];
  /** Names of rounds and controls passes that are damaged, newer than what is given here. */
  readonly unread?: Unread;
  readonly notebook: Notebook;
  /** Keys of items that a re-test has proven repaired since, with its day. */
  readonly done: ReadonlyMap<string, string>;
  /** Controls that need attention. */
  readonly controls?: readonly FaultyControl[];
  readonly hours?: number;
  /** Strip-down book; undefined if there is none. */
  readonly book?: StripDownBook | undefined;
  /** YYYY-MM-DD. */
  readonly date: string;
}

/** To patch an input again, play and record it: half a minute, rounded up (common practice). */
export const testMinutesPerInput = 1;

/** The worklist of a desk for its next opening. */
export function makePlan({
  desk,
  round,
  later = [],
  unread = nothingUnread,
  notebook,
  done,
  controls = [],
  hours,
  book,
  date,
}: PlanInput): Plan {
  const { items: found, outside, sections } = listPlanItems(round, notebook, done, controls);
  const places = groupBySection(sections).map((one) => withBoards(one, book));
  const sectionMinutes = countSectionMinutes(places);
  const items = mergeParts(book === undefined ? found : placeOnBoards(found, desk, book, round));
  const { construction } = desk;
  const inputsOf = (strip: string) => desk.paths.filter((path) => path.strip === strip).length;
  const testMinutes = (strip: string) => inputsOf(strip) * testMinutesPerInput;
  const known = items.filter(({ strip }) => desk.strips.includes(strip));
  // Notes of a strip that was renamed or removed are kept.
  const homeless = items
    .filter(({ strip, notes }) => !desk.strips.includes(strip) && notes.length > 0)
    .map(
      ({ strip, name, says, notes }): OutsideItem => ({
        place: strip,
        name: { code: "of-no-strip", name, says },
        todo: { code: "correct-place", strip, note: notes[0] },
        kind: "desk",
        measured: "out",
      }),
    );
  // Work on shared parts comes first, whatever time is left.
  const budget =
    hours === undefined ? undefined : Math.max(0, Math.floor(hours * 60) - sectionMinutes);
  const pullMinutes = (strip: string) => countPullMinutes(strip, known, construction, book);
  const times: Required<StripTimes> = { testMinutes, pullMinutes };
  const opening = chooseRepairs(known, construction, budget, times);
  const isOpened = opening.jobs.length > 0 || places.some(isPlaceOpened);
  const openMinutes = isOpened ? construction.openMinutes : 0;
  const dangers = listOpenDangers(notebook.entries, desk.sections);
  const year = Number(date.slice(0, 4));
  const age = mergeRecaps(desk.age, listRecaps(notebook, desk.strips));
  const ages = desk.strips.flatMap((strip) => estimateCapacitorLife(strip, age) ?? []);
  const notPlanned = listNotPlanned(round, later, notebook);
  const untold = listUntold(round, later, unread);
  const loudTogether = listLoudTogether(round);
  const plan: Omit<Plan, "phases"> = {
    format: "deskround-plan",
    version: 1,
    desk: desk.name,
    strips: desk.strips,
    date,
    round: round?.id ?? null,
    ...(loudTogether.length === 0 ? {} : { loudTogether }),
    ...(notPlanned.length === 0 ? {} : { notPlanned }),
    ...(untold.length === 0 ? {} : { untold }),
    passes: [...new Set(controls.map(({ pass }) => pass))].sort(),
    openNotes: notebook.entries.filter((entry) => entry.line.kind !== "off" && isOpenNote(entry))
      .length,
    hours: hours ?? null,
    minutes: opening.minutes + sectionMinutes + (opening.jobs.length === 0 ? openMinutes : 0),
    openMinutes,
    ...(dangers.length === 0 ? {} : { dangers }),
    cautions: workCautions,
    remarks: round?.remarks ?? [],
    // These need power to find.
    ...(round?.shared === undefined || dangers.some(isOfWholeDesk) ? {} : { shared: round.shared }),
    outside: [...outside, ...homeless],
    ...(places.length === 0 ? {} : { places }),
    steps: stepsOf(opening, desk, times, { ages, dangers, book }),
    left: leftOut(known, opening, construction, times, budget),
    ...(book === undefined ? {} : listBookParts(opening.jobs, book)),
    parts: reserveFor(partsFor([...sections, ...opening.jobs], desk), buildStores(notebook)),
    tools: listTools([...sections, ...opening.jobs], outside),
    ageing: ages.filter(({ due }) => due <= year + 1),
  };
  return { ...plan, phases: listPhases(plan) };
}

/** Minutes for sections and their boards; a board of several sections comes out once. */
function countSectionMinutes(places: readonly PlanPlace[]): number {
  const boards = places.flatMap((place) => place.boards ?? []);
  const perBoard = new Map(boards.map(({ name, minutes = 0 }) => [name, minutes]));
  const each = [
    ...places.flatMap(({ items }) => items.map(({ minutes }) => minutes)),
    ...perBoard.values(),
  ];
  return each.reduce((sum, minutes) => sum + minutes, 0);
}

/** The boards of a section, if it has work without power. */
function withBoards(place: PlanPlace, book: StripDownBook | undefined): PlanPlace {
  const isOpened = place.items.some(({ steps }) =>
    steps.some(({ power }) => power === "unplugged" || power === "bench"),
  );
  const own = (book?.boards ?? []).filter(({ sections }) => sections.includes(place.section));
  if (!isOpened || own.length === 0) return place;
  return {
    ...place,
    boards: listOutOrder(
      own.map(({ name }) => name),
      own,
    ),
  };
}

/** Groups of paths whose noise or hum together is too high, each once. */
function listLoudTogether(round: Round | undefined): readonly (readonly string[])[] {
  const high = (round?.sums ?? []).filter(({ verdict }) => verdict === "too-high");
  return [...new Map(high.map(({ paths }) => [paths.join(), paths])).values()];
}

function placeOnBoards(
  items: readonly PlanItem[],
  desk: Desk,
  book: StripDownBook,
  round: Round | undefined,
): readonly PlanItem[] {
  return items.map((item) => {
    const isKnown = book.boards.some(({ strips }) => strips.includes(item.strip));
    return isKnown ? { ...item, boards: findItemBoards(item, desk, book, round) } : item;
  });
}

/** Boards that come out of a strip for some items, in their order. */
function listBoardsOut(strip: string, items: readonly PlanItem[], { boards }: StripDownBook) {
  const wanted = items.flatMap((item) => (item.strip === strip ? (item.boards?.names ?? []) : []));
  return listOutOrder(
    [...new Set(wanted)],
    boards.filter(({ strips }) => strips.includes(strip)),
  );
}

/** Minutes from the strip-down book; if it says nothing, from the construction. */
function countPullMinutes(
  strip: string,
  items: readonly PlanItem[],
  { pullMinutes }: Construction,
  book: StripDownBook | undefined,
): number {
  const known = (book === undefined ? [] : listBoardsOut(strip, items, book)).flatMap(
    ({ minutes }) => minutes ?? [],
  );
  return known.length === 0 ? pullMinutes : known.reduce((sum, one) => sum + one, 0);
}

/** The book's entries for the boards that come out. */
function listBookParts(
  items: readonly PlanItem[],
  book: StripDownBook,
): Pick<Plan, "opening" | "boards"> {
  const strips = [...new Set(items.map(({ strip }) => strip))];
  const out = strips.map((strip) => ({
    strip,
    names: listBoardsOut(strip, items, book).map(({ name }) => name),
  }));
  const boards = book.boards.flatMap((board) => {
    const own = board.strips.filter((strip) =>
      out.some((one) => one.strip === strip && one.names.includes(board.name)),
    );
    return own.length === 0 ? [] : [{ ...board, strips: own }];
  });
  return { ...(book.open === undefined ? {} : { opening: book.open }), boards };
}

/** Tools needed for the steps of a plan, in the order of {@link benchToolIds}. */
function listTools(
  items: readonly PlanItem[],
  outside: readonly OutsideItem[],
): readonly BenchToolId[] {
  const needed = new Set([
    ...items.flatMap(({ steps }) => steps.flatMap(({ needs = [] }) => needs)),
    ...outside.flatMap(({ needs = [] }) => needs),
  ]);
  return benchToolIds.filter((id) => needed.has(id));
}

/** Strips in order: grouped by what must come off, the group with the worst strip first. */
function stepsOf(
  opening: OpeningWork<PlanItem>,
  desk: Desk,
  { testMinutes, pullMinutes }: Required<StripTimes>,
  {
    ages,
    dangers,
    book,
  }: {
    ages: readonly CapacitorLife[];
    dangers: readonly OpenDanger[];
    book: StripDownBook | undefined;
  },
): readonly (PlanOff | PlanStrip)[] {
  const strips = desk.strips.filter((strip) => opening.jobs.some((job) => job.strip === strip));
  const outermost = (strip: string) =>
    opening.parts.find((part) => part.strips.includes(strip))?.name ?? "";
  const worth = (strip: string) =>
    Math.max(...opening.jobs.filter((job) => job.strip === strip).map((job) => job.worth));
  const groups = new Map<string, string[]>();
  for (const strip of strips) {
    groups.set(outermost(strip), [...(groups.get(outermost(strip)) ?? []), strip]);
  }
  const ordered = [...groups.values()]
    .map((members) => ({ members, worst: Math.max(...members.map(worth)) }))
    .sort((a, b) => b.worst - a.worst)
    .flatMap(({ members }) => members);
  const off = new Set<string>();
  const steps: (PlanOff | PlanStrip)[] = [];
  const cardOf = new Map<string, string>();
  for (const strip of ordered) {
    const needed = opening.parts.filter((part) => part.strips.includes(strip));
    for (const part of needed) {
      if (off.has(part.name)) continue;
      off.add(part.name);
      steps.push({ kind: "off", part });
    }
    const card = needed.find(({ kind }) => kind === "card")?.name;
    const first = card === undefined ? undefined : cardOf.get(card);
    if (card !== undefined && first === undefined) cardOf.set(card, strip);
    const ageing = ages.find((one) => one.strip === strip);
    const offFor = listDangersAt(strip, dangers).map(({ note }) => note);
    steps.push({
      kind: "strip",
      strip,
      pullMinutes: card === undefined ? pullMinutes(strip) : 0,
      ...(book === undefined
        ? {}
        : { boards: listBoardsOut(strip, opening.jobs, book).map(({ name }) => name) }),
      ...(card !== undefined && first !== undefined ? { freeWith: { card, strip: first } } : {}),
      items: opening.jobs.filter((job) => job.strip === strip),
      testMinutes: testMinutes(strip),
      ...(offFor.length === 0 ? {} : { offFor }),
      ...(ageing === undefined ? {} : { ageing }),
    });
  }
  return steps;
}

function leftOut(
  items: readonly PlanItem[],
  opening: OpeningWork<PlanItem>,
  construction: Construction,
  times: StripTimes,
  budget: number | undefined,
): readonly LeftItem[] {
  const taken = new Set(opening.jobs);
  const spare = (budget ?? 0) - opening.minutes;
  return items
    .filter((item) => !taken.has(item))
    .map((item) => {
      const more = chooseRepairs([...opening.jobs, item], construction, undefined, times).minutes;
      const takes = more - opening.minutes;
      const wait = item.urgency === "watch" ? ({ mayWait: true } as const) : {};
      return { item, why: { takes, left: Math.max(0, spare), ...wait } };
    });
}

function partsFor(items: readonly PlanItem[], desk: Desk): readonly PlanPart[] {
  const found = new Map<
    string,
    Omit<PlanPart, "count" | "spare" | "strips"> & { count: number; readonly strips: Set<string> }
  >();
  const add = (
    what: string,
    value: string,
    count: number,
    { strip, spec, role }: { strip: string; spec: PartSpec | undefined; role?: PartRole },
  ) => {
    const { isConsumable, pairPercent } = role === undefined ? {} : partRoles[role];
    const key = `${what} ${value}`;
    const one = found.get(key) ?? {
      what,
      value,
      count: 0,
      strips: new Set<string>(),
      ...(spec === undefined ? {} : { spec }),
      ...(isConsumable === undefined ? {} : { isConsumable }),
      ...(pairPercent === undefined ? {} : { pairPercent }),
    };
    one.count = isConsumable ? 1 : one.count + count;
    one.strips.add(strip);
    found.set(key, one);
  };
  for (const { parts, namedParts = [], strip } of items) {
    for (const { role, count } of parts) {
      add(role, valueFor(role, desk), count, { strip, spec: findSpec(role, desk), role });
    }
    for (const { part, value } of namedParts) {
      add(part, value, 1, { strip, spec: parsePartSpec(value) });
    }
  }
  return [...found.values()].map(({ strips, ...part }) => ({
    ...part,
    spare: part.isConsumable ? 0 : Math.ceil(part.count / 5),
    strips: desk.strips.filter((strip) => strips.has(strip)),
    ...listSectionsAmong(strips, desk),
  }));
}

function listSectionsAmong(
  names: ReadonlySet<string>,
  { strips }: Desk,
): Pick<PlanPart, "sections"> {
  const sections = [...names].filter((name) => !strips.includes(name));
  return sections.length === 0 ? {} : { sections };
}

/** Reserves parts from the stores, if stores are kept. */
function reserveFor(parts: readonly PlanPart[], stores: Stores): readonly PlanPart[] {
  if (!stores.isKept) return parts;
  const demands = parts.map(({ spec, count, spare, pairPercent }) => ({
    ...(spec === undefined ? {} : { spec }),
    ...(pairPercent === undefined ? {} : { pairPercent }),
    needed: count + spare,
  }));
  const reserved = reserveParts(demands, stores);
  return parts.map((part, k) => ({ ...part, stores: reserved[k] }));
}

/** What to look for in the stores; undefined if the part must first be read off the strip. */
function findSpec(role: PartRole, desk: Desk): PartSpec | undefined {
  const { isConsumable, feedsPhantom } = partRoles[role];
  if (isConsumable) return parsePartSpec(role);
  const own = desk.construction.values[role];
  if (own !== undefined) return parsePartSpec(`${role} ${own}`);
  if (!feedsPhantom) return undefined;
  const { feedOhm } = findPhantomSupply(desk.phantomV) ?? phantomSupplies[48];
  return { kind: role, value: feedOhm, unit: "Ω" };
}

function valueFor(role: PartRole, desk: Desk): string {
  const own = desk.construction.values[role];
  if (own !== undefined) return preferredText(own, role);
  const { value, feedsPhantom } = partRoles[role];
  if (!feedsPhantom) return value;
  const { feedOhm } = findPhantomSupply(desk.phantomV) ?? phantomSupplies[48];
  return formatFeedPair(feedOhm);
}

/** The owner's value; if not in IEC 60063, with the nearest preferred value. */
function preferredText(text: string, role: PartRole): string {
  const { sold } = partRoles[role];
  if (sold === undefined) return text;
  const [first = "", ...rest] = text.split(/\s+/);
  try {
    const value = parseQuantity(first, sold.unit, role);
    const nearest = getPreferredValue(value, sold.series);
    const shown = [formatQuantity(value, sold.unit), ...rest].join(" ");
    const same = Math.abs(nearest / value - 1) < 1e-6;
    return same ? shown : `${shown}; nearest preferred: ${formatQuantity(nearest, sold.unit)}`;
  } catch {
    return text;
  }
}

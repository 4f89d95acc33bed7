import type { StripDownBoard } from "../../desk/strip-down/types.js";
import { formatStep } from "../../service/plan/format-step.js";
import {
  getClosedPower,
  isPlaceOpened,
  isPlaceWorkedClosed,
  listPhases,
} from "../../service/plan/phases.js";
import type { PlanPhase } from "../../service/plan/types.js";
import { formatList } from "../../text/format-list.js";
import { groupBy } from "../../text/group-by.js";
import { formatCommand } from "../../text/program-name.js";
import { formatCheckWorth, listOutcomes } from "../next-check.js";
import { formatSharedFault, formatSharedLook } from "../shared/format-shared.js";
import {
  addUpFixings,
  formatBoardTitle,
  formatCounted,
  formatSectionBoardTitle,
  listBoardSteps,
  listBoardTools,
  listTakeOff,
} from "./boards.js";
import {
  checksReminder,
  formatItemLines,
  formatItemTitle,
  formatOwners,
  formatPart,
  formatStripTail,
  formatStripTitle,
  listCommonRisks,
  listDangerStops,
  listLiveWork,
  outsidePhrases,
  sharedReminder,
} from "./phrases.js";
import {
  chargeCheck,
  chargeCheckAgain,
  listBeforeTrying,
  listCloseSteps,
  listColdRules,
  listDoneSteps,
  listTrySteps,
  listUseSteps,
  liveRules,
  openedSteps,
  openStep,
  playRules,
  powerWords,
  switchOff,
  switchOn,
  type Trial,
  tieStep,
} from "./power.js";
import { listReady } from "./ready.js";
import type { WordedPlan, WordedPlanItem, WordedPlanPlace, WordedPlanStrip } from "./worded.js";

/** A line of a worklist, independent of the format. */
export type PlanLine =
  | { readonly kind: "caution"; readonly text: string }
  | { readonly kind: "point"; readonly text: string }
  | { readonly kind: "text"; readonly text: string }
  | {
      /** Something to tick. */
      readonly kind: "tick";
      readonly text: string;
      /** Set if the text heads the details below it. */
      readonly head?: true;
      readonly details?: readonly (readonly [label: string, text: string])[];
      /** Set for space to write beside it. */
      readonly room?: true;
    }
  | {
      /** Lines that belong together on one page. */
      readonly kind: "group";
      readonly title: string;
      readonly lines: readonly PlanLine[];
    };

/** A part of a worklist. */
export interface PlanSection {
  readonly title: string;
  /** The state of power for this work; absent if there is none. */
  readonly power?: string;
  readonly lines: readonly PlanLine[];
}

/**
 * All sections between the head and the end of a worklist, in the order of work: grouped by the
 * state of power that they need, with a step for every change of it.
 */
export function outlinePlan(plan: WordedPlan): readonly PlanSection[] {
  const phases = listPhases(plan);
  const titleOf = (id: PlanPhase["id"], title: string) => {
    const at = phases.findIndex((phase) => phase.id === id);
    return phases.length > 1 ? `${at + 1} of ${phases.length}: ${title}` : title;
  };
  const isOpened = phases.some(({ id }) => id === "open");
  const sectionBoards = (plan.places ?? []).flatMap(({ boards = [] }) => boards);
  const ready = [
    ...(isOpened ? listReady(plan) : []),
    ...listBoardTools(
      [...(plan.boards ?? []), ...sectionBoards],
      isOpened ? plan.opening : undefined,
    ),
  ];
  const first = phases[0]?.id === "outside" ? phases.slice(0, 1) : [];
  const rest = phases.slice(first.length);
  const section = (phase: PlanPhase): PlanSection => {
    const { title, lines } = sections[phase.id](plan);
    return { title: titleOf(phase.id, title), power: powerWords[phase.power], lines };
  };
  const { places = [] } = plan;
  const beforeStrips: readonly PlanSection[] =
    places.length === 0 || plan.steps.length === 0
      ? []
      : [
          {
            title: `Before any strip: ${placesTitle}`,
            ...(hasStepInUse(places) ? { power: powerWords[getClosedPower(plan)] } : {}),
            lines: [
              ...(places.some(isPlaceOpened)
                ? [
                    toCaution(
                      formatOrder(
                        places,
                        phases.some(({ id }) => id === "inside"),
                      ),
                    ),
                  ]
                : []),
              ...places.map(placeLines),
            ],
          },
        ];
  const remarks: readonly PlanSection[] =
    plan.remarks.length === 0
      ? []
      : [{ title: "What several strips have in common", lines: plan.remarks.map(toText) }];
  const preparations: readonly PlanSection[] = [
    ...(isOpened ? [{ title: "Before undoing a screw", lines: plan.cautions.map(toCaution) }] : []),
    ...(ready.length === 0 && plan.parts.length === 0
      ? []
      : [
          {
            title: "Have ready",
            lines: [
              ...plan.parts.map((part) => toTick(`${formatPart(part)} (${formatOwners(part)})`)),
              ...ready.map(toTick),
            ],
          },
        ]),
  ];
  return [
    ...first.map(section),
    ...beforeStrips,
    ...remarks,
    ...preparations,
    ...rest.map(section),
  ];
}

const placesTitle = "supplies, buses and the rest of the desk";

/** When to work on the rest of the desk if strips come out too. */
function formatOrder(places: readonly WordedPlanPlace[], isLive: boolean): string {
  return [
    ...(hasStepInUse(places) ? ["now do only what is marked `in use`"] : []),
    ...(isLive ? ["what needs power with the desk open is listed under “Measure inside”"] : []),
    `leave what is marked ${formatColdMarks(places)} and the repair until “At the strips”`,
  ].join("; ");
}

/** Whether there is work on the rest of the desk while it is closed. */
function hasStepInUse(places: readonly WordedPlanPlace[]): boolean {
  return places.some(({ items }) =>
    items.some(({ steps }) => steps.some(({ power }) => power === "in use")),
  );
}

/** Work on the rest of the desk while it is off, if strips come out too. */
function listColdPlaces({ places = [] }: WordedPlan): readonly string[] {
  return places
    .filter(({ items }) =>
      items.some(({ steps }) =>
        steps.some(({ power }) => power === "unplugged" || power === "bench"),
      ),
    )
    .map(
      (place) =>
        `${place.section}: what is marked ${formatColdMarks([place])} under “Before any strip”, and the repair`,
    );
}

/** The labels of steps on the rest of the desk that need no power: "`unplugged` or `bench`". */
function formatColdMarks(places: readonly WordedPlanPlace[]): string {
  const marks = (["unplugged", "bench"] as const).filter((mark) =>
    places.some(({ items }) =>
      items.some(({ steps }) => steps.some(({ power }) => power === mark)),
    ),
  );
  return (marks.length === 0 ? ["unplugged"] : marks).map((mark) => `\`${mark}\``).join(" or ");
}

/** What the label of a step means, and what is not yet written down about this desk. */
function listWays({ steps, boards }: WordedPlan): readonly string[] {
  const isStrip = steps.some(({ kind }) => kind === "strip");
  const what = isStrip ? "strip" : "board";
  return [
    `the word before a step says where it is done: \`unplugged\` with the ${what} in its place or out, \`bench\` with the ${isStrip ? "strip or its board" : what} on the bench; both without power`,
    ...(isStrip && boards === undefined
      ? [
          "how a strip comes out of this desk is not written down: photograph every step, count screws, and write it into strip-down.yaml afterwards",
        ]
      : []),
  ];
}

/**
 * What was counted into the tray, except for the covers: they go back on when everything has been
 * tried.
 */
function listCounts(plan: WordedPlan): readonly string[] {
  const own = isOfPlacesAlone(plan) ? listPlaceBoards(plan).map(({ board }) => board) : [];
  const fixings = addUpFixings([...(plan.boards ?? []), ...own], undefined);
  return fixings.length === 0
    ? []
    : [`put these back in their places, counted: ${formatCounted(fixings)}`];
}

type Draft = Pick<PlanSection, "title" | "lines">;

const sections: Readonly<Record<PlanPhase["id"], (plan: WordedPlan) => Draft>> = {
  outside: (plan) => ({
    title: "Without opening the desk",
    lines: [
      // A strip with an open danger is not powered with the rest either.
      ...(isOffThroughout(plan) ? [] : listDangerStops(plan).map(toCaution)),
      ...outsideLines(plan),
      ...(isOfPlacesAlone(plan) ? listClosedPlaces(plan) : []),
    ],
  }),
  open: (plan) => ({
    title: `Open the desk, ${plan.openMinutes} min with closing`,
    lines: [
      ...switchOff("first").map(toTick),
      toTick(tieStep),
      // People must know the weight before they lift.
      ...(plan.opening === undefined ? [] : listTakeOff(plan.opening).map(toPoint)),
      ...(plan.opening?.steps ?? [openStep]).map(toTick),
      ...plan.steps.flatMap((step) =>
        step.kind === "off" && step.part.kind === "cover" ? [offLine(step.part)] : [],
      ),
      // Before this, nothing inside is touched.
      toTick(chargeCheck),
      ...openedSteps.map(toTick),
    ],
  }),
  inside: (plan) => ({
    title: "Measure inside, every strip still in its place",
    lines: [
      ...liveRules.map(toCaution),
      ...listDangerStops(plan).map(toCaution),
      ...switchOn.map(toTick),
      ...listLiveWork(plan).map(
        ({ place, title, text }): PlanLine => ({
          kind: "tick",
          head: true,
          text: `${place}: ${title}`,
          details: text.map((one) => ["", one]),
          room: true,
        }),
      ),
    ],
  }),
  strips: (plan) => {
    const isOnAgain = listPhases(plan).some(({ id }) => id === "inside");
    const common = listCommonRisks(plan);
    const isAlone = isOfPlacesAlone(plan);
    return {
      title: isAlone ? `At the ${placesTitle}` : "At the strips",
      lines: [
        ...(isOnAgain ? [...switchOff("again"), chargeCheckAgain].map(toTick) : []),
        ...[...listColdRules(isAlone ? "board" : "strip"), ...common, ...listWays(plan)].map(
          toPoint,
        ),
        ...(plan.boards ?? []).map(
          (board): PlanLine => ({
            kind: "group",
            title: formatBoardTitle(board),
            lines: listBoardSteps(board).map(toPoint),
          }),
        ),
        ...(isAlone ? listOpenedPlaces(plan) : listColdPlaces(plan).map(toTick)),
        ...plan.steps.flatMap((step): PlanLine[] => {
          if (step.kind === "strip") return [stripLines(step, common)];
          return step.part.kind === "cover" ? [] : [offLine(step.part)];
        }),
        ...(plan.dangers === undefined
          ? [
              {
                kind: "group" as const,
                title: "Before power goes on again",
                lines: [
                  ...listDoneSteps(isAlone ? "place" : "strip"),
                  ...listCounts(plan),
                  ...listBeforeTrying(findLogged(plan)),
                ].map(toTick),
              },
            ]
          : [
              toTick(
                `leave the desk off: once you have found and repaired what the danger notes describe, close them (\`${formatCommand(`note close ${plan.dangers.map(({ note }) => note).join(" ")}`)}\`) and print this list again`,
              ),
            ]),
      ],
    };
  },
  try: (plan) => ({
    title: "Try it before closing the desk",
    lines: [...liveRules.map(toCaution), ...listTrySteps(getTrial(plan)).map(toTick)],
  }),
  close: ({ opening }) => {
    const fixings = addUpFixings([], opening);
    const counted = fixings.length === 0 ? [] : [`put back, counted: ${formatCounted(fixings)}`];
    return {
      title: "Close the desk",
      lines: [...switchOff("again"), chargeCheckAgain, ...listCloseSteps(), ...counted].map(toTick),
    };
  },
  use: (plan) => ({
    title: "The first hour",
    lines: listUseSteps(
      isOfPlacesAlone(plan) ? "all that was worked on" : "every strip that was out",
    ).map(toTick),
  }),
};

function isOffThroughout(plan: WordedPlan): boolean {
  return listPhases(plan)[0]?.power === "unplugged";
}

function outsideLines(plan: WordedPlan): readonly PlanLine[] {
  const { shared = [], outside } = plan;
  const jobs = shared.map(
    (job): PlanLine => ({
      kind: "tick",
      head: true,
      text: formatSharedFault(job),
      details: [["", formatSharedLook(job)]],
    }),
  );
  const isPlayed =
    outside.some(({ kind }) => kind === "try first" || kind === "record again") ||
    (isOfPlacesAlone(plan) && (plan.places ?? []).some(isPlayedThrough));
  return [
    ...(isPlayed ? playRules.map(toCaution) : []),
    ...(jobs.length === 0
      ? []
      : [
          {
            kind: "group" as const,
            title: "First, what several paths share",
            lines: [...jobs, toText(sharedReminder)],
          },
        ]),
    ...sortTogether(outside).map(
      ({ place, paths, name, todo, kind, next }): PlanLine => ({
        kind: "tick",
        head: true,
        text: `${place}  ${[outsidePhrases[kind] ?? [], name].flat().join(": ")}${paths === undefined ? "" : ` (${formatList(paths)})`}`,
        details: (next === undefined
          ? [todo]
          : [`${todo} ${formatCheckWorth(next, place)}`, ...listOutcomes(next)]
        ).map((text) => ["", text] as const),
        room: true,
      }),
    ),
    ...(outside.some(({ next }) => next?.setting !== undefined) ? [toText(checksReminder)] : []),
  ];
}

/**
 * Whether a cable or a control of the section is tried in use; supplies and automation are only
 * looked at.
 */
function isPlayedThrough({ kind, items }: WordedPlanPlace): boolean {
  return (
    kind !== "supply" &&
    kind !== "automation" &&
    items.some(({ steps }) => steps.some(({ power }) => power === "in use"))
  );
}

/** Puts items about one place together, at the position of the first. */
function sortTogether(outside: WordedPlan["outside"]): WordedPlan["outside"] {
  return [...groupBy(outside, ({ place }) => place).values()].flat();
}

const offRules = {
  cover: "sort the screws by cover; watch for leads attached to it",
  cable: "label both ends; pull the connector, never the cable",
  card: "label its connectors; hold it by the edges; catch nuts and washers",
} as const;

function offLine({
  name,
  kind,
  minutes,
}: {
  name: string;
  kind: keyof typeof offRules;
  minutes: number;
}): PlanLine {
  return {
    kind: "group",
    title: `Off: ${name}, ${minutes} min off and on`,
    lines: [toTick(offRules[kind])],
  };
}

function stripLines(step: WordedPlanStrip, common: readonly string[]): PlanLine {
  return {
    kind: "group",
    title: formatStripTitle(step),
    lines: [
      ...(step.boards ?? []).map((board) =>
        toTick(
          `take out the ${board} and log it: \`${formatCommand(`opening off ${step.strip} ${board}`)}\``,
        ),
      ),
      ...step.items.map((item) => itemLine(item, common)),
      ...formatStripTail(step).map(toTick),
    ],
  };
}

/**
 * A section's items with the work in use, and how its boards come out; the rest is listed with the
 * strips.
 */
function placeLines(place: WordedPlanPlace): PlanLine {
  const { section, items, boards = [] } = place;
  const fixings = addUpFixings(
    boards.map((board) => ({ ...board, strips: [section] })),
    undefined,
  );
  return {
    kind: "group",
    title: section,
    lines: [
      ...items.map((item) => placeItemLine(item, listPlaceDetails(item))),
      ...listSectionRules(place).map(toCaution),
      ...boards.map((board) => placeBoardLine(board, section)),
      ...(fixings.length === 0
        ? []
        : [toTick(`put these back in their places, counted: ${formatCounted(fixings)}`)]),
    ],
  };
}

function placeItemLine(
  item: WordedPlanItem,
  details: readonly (readonly [label: string, text: string])[],
): PlanLine {
  return { kind: "tick", head: true, text: formatItemTitle(item), details, room: true };
}

function placeBoardLine(board: StripDownBoard, section: string): PlanLine {
  return {
    kind: "tick",
    head: true,
    text: formatSectionBoardTitle(board, section),
    details: [
      ...listBoardSteps(board).map((text) => ["", text] as const),
      ["", `log it: \`${formatCommand(`opening off ${section} ${board.name}`)}\``],
    ],
  };
}

/** Whether no strip comes out, so that all phases are about the rest of the desk. */
function isOfPlacesAlone({ steps, places = [] }: WordedPlan): boolean {
  return steps.length === 0 && places.length > 0;
}

/** Sections with the work on them while the desk is closed; all of it if it stays closed. */
function listClosedPlaces({ places = [] }: WordedPlan): readonly PlanLine[] {
  return places.filter(isPlaceWorkedClosed).map((place) => ({
    kind: "group",
    title: place.section,
    lines: place.items.flatMap((item) => {
      const warm = listWarmSteps(item);
      if (!isPlaceOpened(place)) return [placeItemLine(item, listPlaceDetails(item))];
      if (warm.length === 0) return [];
      return [{ ...placeItemLine(item, [...listReasons(item), ...warm]), text: item.name }];
    }),
  }));
}

/** Sections with the work on them while the desk is open and off. */
function listOpenedPlaces(plan: WordedPlan): readonly PlanLine[] {
  const boards = listPlaceBoards(plan);
  return (plan.places ?? []).filter(isPlaceOpened).map(({ section, kind, items }) => ({
    kind: "group",
    title: section,
    lines: [
      ...(kind === "supply" ? [toCaution(supplyRule)] : []),
      ...boards.flatMap((one) =>
        one.section === section ? [placeBoardLine(one.board, section)] : [],
      ),
      ...items.map((item) => placeItemLine(item, formatItemLines(item))),
    ],
  }));
}

/** The boards of all sections, each listed with the section where it comes out first. */
function listPlaceBoards({ places = [] }: WordedPlan) {
  const all = places.flatMap(({ section, boards = [] }) =>
    boards.map((board) => ({ section, board: { ...board, strips: [section] } })),
  );
  return all.filter(({ board }, k) => all.findIndex((one) => one.board.name === board.name) === k);
}

/** A place whose boards are logged as they come off. */
function findLogged(plan: WordedPlan): string | undefined {
  const strip = plan.steps.find((step) => step.kind === "strip" && step.boards !== undefined);
  if (strip?.kind === "strip") return strip.strip;
  return listPlaceBoards(plan)[0]?.section;
}

/** How to try what was worked on. */
function getTrial(plan: WordedPlan): Trial {
  const what = isOfPlacesAlone(plan) ? "places" : "strips";
  return plan.round === null ? `${what} by ear` : what;
}

const supplyRule =
  "leave mains and supply work to licensed people, under local codes; a supply stays dangerous after switch-off";

/** The rule before a board of a section comes out. */
function sectionRule(kind: WordedPlanPlace["kind"]): string {
  const off =
    "take boards out only with the desk off, the mains plug pulled and no voltage left: wait 5 minutes, then measure each rail and the phantom feed: each must be below 1 V";
  return kind === "supply" ? `${supplyRule}; ${off}` : off;
}

/** The rules at a section whose boards come out when the desk is opened for strips. */
function listSectionRules({ kind, boards = [] }: WordedPlanPlace): readonly string[] {
  return boards.length === 0 ? [] : [`${sectionRule(kind)}; do it after “Open the desk”, below`];
}

/** The reasons, the work in use, and the work without power. */
function listPlaceDetails(item: WordedPlanItem): Details {
  return [
    ...listReasons(item),
    ...listWarmSteps(item),
    ...formatItemLines(item).slice(item.says.length),
  ];
}

type Details = readonly (readonly [label: string, text: string])[];

function listReasons(item: WordedPlanItem): Details {
  return formatItemLines(item).slice(0, item.says.length);
}

function listWarmSteps({ steps }: WordedPlanItem): Details {
  const warm = steps.filter(({ power }) => power === "in use");
  return warm.map((step, k) => [k === 0 ? "in use" : "", formatStep(step)] as const);
}

function itemLine(item: WordedPlanItem, common: readonly string[]): PlanLine {
  return {
    kind: "tick",
    head: true,
    text: formatItemTitle(item),
    details: formatItemLines(item, common),
    room: true,
  };
}

function toTick(text: string): PlanLine {
  return { kind: "tick", text };
}
function toCaution(text: string): PlanLine {
  return { kind: "caution", text };
}
function toPoint(text: string): PlanLine {
  return { kind: "point", text };
}
function toText(text: string): PlanLine {
  return { kind: "text", text };
}

import { formatStep } from "../../service/plan/format-step.js";
import { listPhases } from "../../service/plan/phases.js";
import type { PlanPhase } from "../../service/plan/types.js";
import { formatList } from "../../text/format-list.js";
import { groupBy } from "../../text/group-by.js";
import { getProgramName } from "../../text/program-name.js";
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
  coldRules,
  listBeforeTrying,
  listCloseSteps,
  listTrySteps,
  liveRules,
  openedSteps,
  openStep,
  playRules,
  powerWords,
  switchOff,
  switchOn,
  tieStep,
  useSteps,
} from "./power.js";
import { listReady } from "./ready.js";
import type { WordedPlan, WordedPlanItem, WordedPlanPlace, WordedPlanStrip } from "./worded.js";

/** A line of a worklist, whatever it is printed on. */
export type PlanLine =
  | { readonly kind: "caution"; readonly text: string }
  | { readonly kind: "point"; readonly text: string }
  | { readonly kind: "text"; readonly text: string }
  | {
      /** Something to tick. */
      readonly kind: "tick";
      readonly text: string;
      /** Whether the text heads what stands below it. */
      readonly head?: true;
      readonly details?: readonly (readonly [label: string, text: string])[];
      /** Room to write beside it. */
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
  /** The state of power in which it is worked through; absent where nothing is done. */
  readonly power?: string;
  readonly lines: readonly PlanLine[];
}

/**
 * All that stands between the head and the end of a worklist, in the order of work: by the state of
 * power that it needs, every change of it said.
 */
export function outlinePlan(plan: WordedPlan): readonly PlanSection[] {
  const phases = listPhases(plan);
  const titleOf = (id: PlanPhase["id"], title: string) => {
    const at = phases.findIndex((phase) => phase.id === id);
    return phases.length > 1 ? `${at + 1} of ${phases.length}: ${title}` : title;
  };
  const isOpened = plan.steps.length > 0 || (plan.places ?? []).some(needsOpening);
  const sectionBoards = (plan.places ?? []).flatMap(({ boards = [] }) => boards);
  const ready = [
    ...(isOpened ? listReady(plan) : []),
    ...listBoardTools(
      [...(plan.boards ?? []), ...sectionBoards],
      plan.steps.length + sectionBoards.length === 0 ? undefined : plan.opening,
    ),
  ];
  const first = phases[0]?.id === "outside" ? phases.slice(0, 1) : [];
  const rest = phases.slice(first.length);
  const section = (phase: PlanPhase): PlanSection => {
    const { title, lines } = sections[phase.id](plan);
    return { title: titleOf(phase.id, title), power: powerWords[phase.power], lines };
  };
  const places: readonly PlanSection[] =
    plan.places === undefined
      ? []
      : [
          {
            title: "Before any strip: supplies, buses and the rest of the desk",
            lines: [
              ...(plan.steps.length > 0 && plan.places.some(needsOpening)
                ? [
                    toCaution(
                      formatOrder(
                        plan.places,
                        phases.some(({ id }) => id === "inside"),
                      ),
                    ),
                  ]
                : []),
              ...plan.places.map((place) => placeLines(place, plan)),
              ...(plan.steps.length === 0 && isOpened && plan.dangers === undefined
                ? [
                    {
                      kind: "group" as const,
                      title: "Before power goes on again",
                      lines: listBeforeTrying().map(toTick),
                    },
                  ]
                : []),
            ],
          },
        ];
  const remarks: readonly PlanSection[] =
    plan.remarks.length === 0
      ? []
      : [{ title: "What several strips have in common", lines: plan.remarks.map(toText) }];
  const preparations: readonly PlanSection[] = [
    ...(isOpened
      ? [{ title: "Before a screw is turned", lines: plan.cautions.map(toCaution) }]
      : []),
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
    // Without a strip to pull, the rest of the desk is all that is opened.
    ...(plan.steps.length === 0 ? [...preparations, ...places] : places),
    ...remarks,
    ...(plan.steps.length === 0 ? [] : preparations),
    ...rest.map(section),
  ];
}

/** When the rest of the desk is worked on where strips come out too. */
function formatOrder(places: readonly WordedPlanPlace[], isLive: boolean): string {
  const isInUse = places.some(({ items }) =>
    items.some(({ steps }) => steps.some(({ power }) => power === "in use")),
  );
  return [
    ...(isInUse ? ["do now only what is marked `in use`"] : []),
    ...(isLive ? ["what needs power with the desk open stands under “Measure inside”"] : []),
    "what is marked `unplugged` and the repair wait for “At the strips”",
  ].join("; ");
}

/** Whether something of it is measured or mended with the desk open. */
function needsOpening({ items }: WordedPlanPlace): boolean {
  return items.some(({ steps }) => steps.some(({ power }) => power !== "in use"));
}

/** What is done at the rest of the desk while it is off, where strips come out too. */
function listColdPlaces({ places = [] }: WordedPlan): readonly string[] {
  return places
    .filter(({ items }) =>
      items.some(({ steps }) =>
        steps.some(({ power }) => power === "unplugged" || power === "bench"),
      ),
    )
    .map(
      ({ section }) =>
        `${section}: what is marked \`unplugged\` under “Before any strip”, and the repair`,
    );
}

/** What the words before a step mean, and what is not written down of this desk. */
function listWays({ steps, boards }: WordedPlan): readonly string[] {
  const isStrip = steps.some(({ kind }) => kind === "strip");
  return [
    "the word before a step says where it is done: `unplugged` with the strip in its place or out, `bench` with the strip or its board on the bench; both without power",
    ...(isStrip && boards === undefined
      ? [
          "how a strip comes out of this desk is not written down: photograph every step, count screws, and put it into strip-down.yaml afterwards",
        ]
      : []),
  ];
}

/** What was counted into the tray, apart from the covers: they go on when all is tried. */
function listCounts({ boards = [] }: WordedPlan): readonly string[] {
  const fixings = addUpFixings(boards, undefined);
  return fixings.length === 0
    ? []
    : [`put these back in their places, counted: ${formatCounted(fixings)}`];
}

type Draft = Pick<PlanSection, "title" | "lines">;

const sections: Readonly<Record<PlanPhase["id"], (plan: WordedPlan) => Draft>> = {
  outside: (plan) => ({
    title: "Without opening the desk",
    lines: [
      // A strip that smelt is not powered with the rest either.
      ...(isOffThroughout(plan) ? [] : listDangerStops(plan).map(toCaution)),
      ...outsideLines(plan),
    ],
  }),
  open: (plan) => ({
    title: `Open the desk, ${plan.openMinutes} min with closing`,
    lines: [
      ...switchOff("first").map(toTick),
      toTick(tieStep),
      // Its weight is known before it is lifted.
      ...(plan.opening === undefined ? [] : listTakeOff(plan.opening).map(toPoint)),
      ...(plan.opening?.steps ?? [openStep]).map(toTick),
      ...plan.steps.flatMap((step) =>
        step.kind === "off" && step.part.kind === "cover" ? [offLine(step.part)] : [],
      ),
      // Nothing inside is touched before.
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
    return {
      title: "At the strips",
      lines: [
        ...(isOnAgain ? [...switchOff("again"), chargeCheckAgain].map(toTick) : []),
        ...[...coldRules, ...common, ...listWays(plan)].map(toPoint),
        ...(plan.boards ?? []).map(
          (board): PlanLine => ({
            kind: "group",
            title: formatBoardTitle(board),
            lines: listBoardSteps(board).map(toPoint),
          }),
        ),
        ...listColdPlaces(plan).map(toTick),
        ...plan.steps.flatMap((step): PlanLine[] => {
          if (step.kind === "strip") return [stripLines(step, common)];
          return step.part.kind === "cover" ? [] : [offLine(step.part)];
        }),
        ...(plan.dangers === undefined
          ? [
              {
                kind: "group" as const,
                title: "Before power goes on again",
                lines: [...listCounts(plan), ...listBeforeTrying()].map(toTick),
              },
            ]
          : [
              toTick(
                `leave the desk off: when what the notes of danger speak of is found and repaired, close them (\`${getProgramName()} note close ${plan.dangers.map(({ note }) => note).join(" ")}\`) and print this list again`,
              ),
            ]),
      ],
    };
  },
  try: () => ({
    title: "Try it before it is closed",
    lines: [...liveRules.map(toCaution), ...listTrySteps().map(toTick)],
  }),
  close: ({ opening }) => {
    const fixings = addUpFixings([], opening);
    const counted = fixings.length === 0 ? [] : [`put back, counted: ${formatCounted(fixings)}`];
    return {
      title: "Close the desk",
      lines: [...switchOff("again"), chargeCheckAgain, ...listCloseSteps(), ...counted].map(toTick),
    };
  },
  use: () => ({ title: "The first hour", lines: useSteps.map(toTick) }),
};

function isOffThroughout(plan: WordedPlan): boolean {
  return listPhases(plan)[0]?.power === "unplugged";
}

function outsideLines({ shared = [], outside }: WordedPlan): readonly PlanLine[] {
  const jobs = shared.map(
    (job): PlanLine => ({
      kind: "tick",
      head: true,
      text: formatSharedFault(job),
      details: [["", formatSharedLook(job)]],
    }),
  );
  const isPlayed = outside.some(({ kind }) => kind === "try first" || kind === "record again");
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
  ];
}

/** What is about one place stands together, where the first of it stood. */
function sortTogether(outside: WordedPlan["outside"]): WordedPlan["outside"] {
  return [...groupBy(outside, ({ place }) => place).values()].flat();
}

const offRules = {
  cover: "sort the screws by cover; watch for leads attached to it",
  cable: "label both ends; pull at the connector, never at the cable",
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
          `take out the ${board} and log it: \`${getProgramName()} opening off ${step.strip} ${board}\``,
        ),
      ),
      ...step.items.map((item) => itemLine(item, common)),
      ...formatStripTail(step).map(toTick),
    ],
  };
}

/** A section's items with every step by its state of power, and how its boards come out. */
function placeLines(place: WordedPlanPlace, { steps, opening }: WordedPlan): PlanLine {
  const { section, items, boards = [] } = place;
  const fixings = addUpFixings(
    boards.map((board) => ({ ...board, strips: [section] })),
    undefined,
  );
  return {
    kind: "group",
    title: section,
    lines: [
      ...items.map(
        (item): PlanLine => ({
          kind: "tick",
          head: true,
          text: formatItemTitle(item),
          details: listPlaceDetails(item, steps.length === 0),
          room: true,
        }),
      ),
      ...listSectionRules(place, steps.length === 0).map(toCaution),
      ...(boards.length === 0 || steps.length > 0 || opening === undefined
        ? []
        : [...listTakeOff(opening).map(toPoint), ...opening.steps.map(toTick)]),
      ...boards.flatMap((board): PlanLine[] => [
        {
          kind: "tick",
          head: true,
          text: formatSectionBoardTitle(board, section),
          details: [
            ...listBoardSteps(board).map((text) => ["", text] as const),
            ["", `log it: \`${getProgramName()} opening off ${section} ${board.name}\``],
          ],
        },
      ]),
      ...(fixings.length === 0
        ? []
        : [toTick(`put these back in their places, counted: ${formatCounted(fixings)}`)]),
    ],
  };
}

/** What holds before a board of a section comes out. */
function sectionRule(kind: WordedPlanPlace["kind"]): string {
  const off =
    "only with the desk off, the mains plug pulled, and no voltage left: wait 5 minutes, then measure it, each rail and the phantom feed below 1 V";
  return kind === "supply"
    ? `mains and supply work is for licensed people, under local codes; a supply stays dangerous after switch-off; ${off}`
    : off;
}

/** What holds at a section; with strips to pull, the desk is opened for all of them at once. */
function listSectionRules(place: WordedPlanPlace, isAlone: boolean): readonly string[] {
  const { kind, boards = [] } = place;
  const isOpened = needsOpening(place);
  if (boards.length === 0 && !isOpened) return [];
  const off = isOpened ? `what is marked \`unplugged\`: ${sectionRule(kind)}` : sectionRule(kind);
  const isLive = place.items.some(({ steps }) =>
    steps.some(({ power }) => power === "powered and open"),
  );
  if (!isAlone) {
    return boards.length === 0 ? [] : [`${sectionRule(kind)}; do it after “Open the desk”, below`];
  }
  return isLive ? [...liveRules.map((rule) => `what is marked \`powered\`: ${rule}`), off] : [off];
}

/** With strips to pull, what is done under power stands with theirs. */
function listPlaceDetails(
  item: WordedPlanItem,
  isAlone: boolean,
): readonly (readonly [label: string, text: string])[] {
  const [because, rest] = [item.says.length, formatItemLines(item)];
  const warm = item.steps.filter(
    ({ power }) => power === "in use" || (isAlone && power === "powered and open"),
  );
  const shown = warm.map(
    (step, k) =>
      [
        step.power === warm[k - 1]?.power ? "" : step.power === "in use" ? "in use" : "powered",
        formatStep(step),
      ] as const,
  );
  return [...rest.slice(0, because), ...shown, ...rest.slice(because)];
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

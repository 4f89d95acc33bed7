import { isOrderDoubt } from "../../doubt.js";
import { getCurveId } from "../../history/standing.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { groupBy } from "../../text/group-by.js";
import { listOpenDangers } from "../notebook/open-dangers.js";
import { listStillOff } from "../notebook/opening.js";
import type { HeldRounds } from "./judge-path.js";
import type { NewFault } from "./new-faults.js";
import { type Probe, readProbe } from "./probe.js";
import type { RetestScope } from "./retest-scope.js";
import { listSectionReasons } from "./section-reasons.js";
import { listNewSharedFaults } from "./shared-faults.js";
import { findSumOf } from "./sum-outcome.js";
import type {
  GateReason,
  RetestGate,
  RetestItem,
  SharedChange,
  SharedOutcome,
  WorseReading,
} from "./types.js";

/** Input of the gate. */
export interface GateInput {
  readonly held: HeldRounds;
  readonly scope: RetestScope;
  /** Judged items of the plan and settings. */
  readonly items: readonly RetestItem[];
  readonly faults: readonly NewFault[];
  readonly shared: readonly SharedChange[];
  /** Judged faults of shared parts from the earlier round. */
  readonly sharedFaults: readonly SharedOutcome[];
}

/**
 * Effect of each reason on the gate; `stop` outweighs `doubt`. Reasons are listed in this order.
 */
const weights: Readonly<Record<GateReason["code"], "stop" | "doubt">> = {
  "danger-open": "stop",
  "neighbour-worse": "stop",
  "shared-worse": "stop",
  "sum-worse": "stop",
  "shared-fault": "stop",
  "shared-not-mended": "stop",
  "new-fault": "stop",
  "not-mended": "stop",
  "section-out": "stop",
  "taken-off": "stop",
  "order-doubt": "doubt",
  "level-drifted": "doubt",
  "not-measured": "doubt",
  "shared-unsure": "doubt",
  "sum-unsure": "doubt",
  "shared-unclear": "doubt",
  "not-comparable": "doubt",
  "item-unclear": "doubt",
  "note-unanswered": "doubt",
  "section-unanswered": "doubt",
};

/**
 * Whether the desk can be closed. It can only if every path to be measured again was, each path
 * worked on is like its siblings, no common change for the worse exceeds its bound, no shared part
 * of a strip worked on is faulty, every item and note of such a strip is resolved, everything taken
 * off is back, and no note of a danger is open.
 */
export function openGate(input: GateInput): RetestGate {
  const order = Object.keys(weights);
  const reasons = [
    ...listOpenDangers(input.scope.notebook.entries).map(
      (danger): GateReason => ({ code: "danger-open", danger }),
    ),
    ...faultReasons(input),
    ...sharedReasons(input),
    ...sumReasons(input),
    ...sharedFaultReasons(input),
    ...itemReasons(input),
    ...listSectionReasons(input.scope),
    ...offReasons(input),
    ...(input.held.round.doubts?.some(isOrderDoubt) ? [{ code: "order-doubt" } as const] : []),
    ...driftReasons(input),
    ...unmeasuredReasons(input),
    ...comparableReasons(input),
  ].sort((a, b) => order.indexOf(a.code) - order.indexOf(b.code));
  const has = (weight: "stop" | "doubt") => reasons.some(({ code }) => weights[code] === weight);
  const verdict = has("stop") ? "do-not-close" : has("doubt") ? "cannot-tell" : "close";
  return { verdict, reasons };
}

function faultReasons({ faults, items, held, scope }: GateInput): readonly GateReason[] {
  const { touched } = scope.chosen;
  const code = (strip: string) =>
    touched.includes(strip) ? ("new-fault" as const) : ("neighbour-worse" as const);
  const strangers = items.filter(
    ({ strip, outcome }) => outcome === "worse" && !touched.includes(strip),
  );
  return [
    ...faults.map(
      ({ path, findings }): GateReason => ({
        code: code(path.strip),
        path: path.path,
        readings: findings.map((finding): WorseReading => ({ reading: finding.reading, finding })),
      }),
    ),
    ...strangers.flatMap(({ strip, figures }): GateReason[] => {
      const path = held.round.paths.find((one) => one.strip === strip)?.path ?? strip;
      return [
        {
          code: "neighbour-worse",
          path,
          readings: [],
          figures,
        },
      ];
    }),
  ];
}

function sharedReasons({ shared }: GateInput): readonly GateReason[] {
  return shared.flatMap((change): GateReason[] => {
    if (change.standing === "within") return [];
    return [{ code: change.standing === "beyond" ? "shared-worse" : "shared-unsure", change }];
  });
}

/** Sums of strips that are too high or could hide a faulty strip. */
function sumReasons({ held: { sums = [] } }: GateInput): readonly GateReason[] {
  return sums.flatMap((sum): GateReason[] =>
    sum.standing === "within"
      ? []
      : [{ code: sum.standing === "beyond" ? "sum-worse" : "sum-unsure", sum }],
  );
}

/**
 * Shared parts that are faulty now: those from before, and new ones not shown by a common change.
 */
function sharedFaultReasons({ held, shared, sharedFaults }: GateInput): readonly GateReason[] {
  const told = new Set(
    shared.flatMap(({ standing, reading }) => (standing === "within" ? [] : [reading])),
  );
  const fresh = listNewSharedFaults(held).filter(
    ({ findings }) => !findings.some(({ reading }) => told.has(reading)),
  );
  return [
    ...fresh.map((fault): GateReason => ({ code: "shared-fault", fault })),
    ...sharedFaults.flatMap((one): GateReason[] => {
      // Faults only to be watched may be left, as on a strip.
      if (one.outcome === "mended" || one.fault.severity !== "service") return [];
      const isUnclear = one.outcome === "cannot tell" || one.outcome === "not shown";
      return [{ code: isUnclear ? "shared-unclear" : "shared-not-mended", shared: one }];
    }),
  ];
}

/** Items and notes of strips worked on. */
function itemReasons({ items, scope }: GateInput): readonly GateReason[] {
  return items.flatMap((item): GateReason[] => {
    const { key, strip, name, outcome, staysOpen } = item;
    if (!scope.chosen.touched.includes(strip) || outcome === "mended") return [];
    if (outcome === "cannot tell") return [{ code: "item-unclear", item: key, strip, name }];
    if (outcome !== "not shown") {
      return [{ code: "not-mended", item: key, strip, name, outcome }];
    }
    return staysOpen.length === 0
      ? [{ code: "item-unclear", item: key, strip, name }]
      : staysOpen.map((note) => ({ code: "note-unanswered", note, strip }));
  });
}

function offReasons({ scope }: GateInput): readonly GateReason[] {
  return listStillOff(scope.notebook).map(({ note, place, what, state, fixing }): GateReason => {
    const how = state === "unplugged" ? { unplugged: true as const } : {};
    return { code: "taken-off", note, place, what, ...how, ...(fixing && { fixing }) };
  });
}

/** A level that changed during the re-test and could not be corrected. */
function driftReasons({ held }: GateInput): readonly GateReason[] {
  const level = held.round.reference?.drift?.level;
  if (level?.handled !== "doubted") return [];
  return [{ code: "level-drifted", changeDb: level.changeDb }];
}

/** Paths not measured. One that returned nothing counts as measured: it is reported as a fault. */
function unmeasuredReasons({ held, scope }: GateInput): readonly GateReason[] {
  const { touched, paths } = scope.chosen;
  const answered = new Set(
    held.round.paths
      .filter(
        ({ status, findings }) =>
          status === "measured" || findings.some(({ reading }) => reading === "return"),
      )
      .map(({ path }) => path),
  );
  const lacking = paths.filter(({ path }) => !answered.has(path));
  const by = groupBy(lacking, ({ strip }) => (touched.includes(strip) ? "touched" : "neighbours"));
  return [...by].map(
    ([strips, own]): GateReason => ({
      code: "not-measured",
      strips,
      paths: own.map(({ path }) => path),
    }),
  );
}

/** Readings needed to judge what all paths have in common. */
const needed: readonly Probe[] = [
  ...(["gain", "hiss", "hum"] as const).map((role) => ({ reading: getReadingId(role) })),
  { reading: "response", atHz: 1000 },
];

/** Readings that a family had then but that no path allows to compare now. */
function comparableReasons({ held }: GateInput): readonly GateReason[] {
  const { pairs, conditions } = held;
  const families = [...groupBy(pairs.all, ({ was }) => was.family)];
  return needed.flatMap((probe): GateReason[] => {
    const without = families.flatMap(([family, own]) => {
      const then = own.flatMap((pair) => readProbe(pair.was, probe) ?? []);
      if (then.length === 0) return [];
      const refused = conditions.refused(getCurveId(probe.reading));
      const now = own.flatMap((pair) => readProbe(pair.now, probe) ?? []);
      // Readings of several strips at once are judged as a sum.
      const isSummed = own.every(({ now: { path } }) => findSumOf(path, probe.reading, held.sums));
      if (isSummed && refused === undefined) return [];
      if (refused === undefined && now.some(({ unit }) => unit === then[0].unit)) return [];
      const because =
        refused ??
        (now.length === 0
          ? ({ code: "not-read-now" } as const)
          : ({ code: "other-unit", earlier: then[0].unit, later: now[0].unit } as const));
      return [{ family, because }];
    });
    if (without.length === 0) return [];
    const [{ because }] = without;
    return [
      {
        code: "not-comparable",
        reading: probe.reading,
        families: without.map(({ family }) => family),
        because,
      },
    ];
  });
}

import { defaultConstruction } from "../../desk/construction.js";
import { tellSideElectronics } from "../../desk/side-electronics.js";
import type { Desk, DeskFlow, DeskInput } from "../../desk/types.js";
import { diagnosePath, findRecordedInput } from "../../diagnose/diagnose.js";
import { locateFaults } from "../../diagnose/locate-faults.js";
import { withFedAlone, withOpenWay } from "../../diagnose/open-ways.js";
import type { PathReference } from "../../diagnose/path-evidence.js";
import { findSwappedTakes } from "../../diagnose/swapped-takes.js";
import type { Cause } from "../../diagnose/types.js";
import { applyBatches, type Batches, findBatches } from "../../rank/batches.js";
import {
  computeFamilyStats,
  getReferenceStats,
  groupFamilies,
  type PathToRank,
} from "../../rank/family-stats.js";
import { alignSides, toPartnerPath } from "../../rank/partner-path.js";
import { type RankedPartner, rankPartners } from "../../rank/rank-partners.js";
import type { DeskReference } from "../../rank/shared/compare-desk.js";
import { compareSides } from "../../rank/shared/compare-sides.js";
import { findOpenWays, type OpenWay } from "../../rank/shared/find-open-ways.js";
import { attributeFaults } from "../../rank/shared/reference/attribute-faults.js";
import { listLevelSteps } from "../../rank/shared/reference/list-level-steps.js";
import { subtractDrift } from "../../rank/shared/reference/subtract-drift.js";
import type { ReferenceDrift } from "../../rank/shared/reference/types.js";
import type {
  NamedPart,
  PlacedInput,
  SharedFault,
  SharedStructure,
} from "../../rank/shared/types.js";
import { compareSideScatter } from "../../rank/side-kinship.js";
import type { Finding } from "../../rank/types.js";
import type { Remark } from "../../remark.js";
import { separateSides } from "./separate-sides.js";
import { buildSharedStructure } from "./shared-structure.js";

/** A judged path: oddness, findings and causes. */
export interface DiagnosedPath extends RankedPartner {
  readonly causes: readonly Cause[];
}

/** The parts of a desk needed for judging. */
export type JudgedDesk = Pick<Desk, "paths" | "inputs" | "flow"> &
  Partial<Pick<Desk, "strips" | "construction">> & {
    /** Outputs and buses that paths went through in passes. */
    readonly passParts?: readonly NamedPart[];
  };

/** All judged paths of a round, and what they have in common. */
export interface DiagnosedRound {
  readonly paths: readonly DiagnosedPath[];
  /** Faults shared by several paths, those of the whole desk first. */
  readonly shared: readonly SharedFault[];
  readonly remarks: readonly Remark[];
  /** Outputs and buses of which nothing shows whether they or some strips are at fault. */
  readonly openWays: readonly OpenWay[];
  /** Changes during the round, shown by its reference path. */
  readonly drift?: ReferenceDrift;
}

/** Paths without what they share, and families split into batches. */
export interface PreparedRound {
  readonly inputs: readonly PlacedInput[];
  readonly shared: readonly SharedFault[];
  readonly batches: readonly Batches[];
  readonly openWays: readonly OpenWay[];
  readonly drift?: ReferenceDrift;
}

/**
 * Subtracts what strips share, and splits families that are two batches: what remains belongs to
 * the path alone.
 *
 * @param recorded one for each path of the desk, in order
 *
 * @param reference what the desk as a whole is compared with; without one it is not judged
 */
export function prepareRound(
  desk: JudgedDesk,
  recorded: readonly PathToRank[],
  reference?: DeskReference,
): PreparedRound {
  const path = reference?.path;
  const sided = alignSides(recorded);
  const {
    inputs: held,
    drift,
    levelHeld,
  } = path ? subtractDrift(sided, path) : { inputs: sided, drift: undefined, levelHeld: false };
  const structure = { ...structureOf(desk), ...(levelHeld ? { levelHeld } : {}) } as const;
  const first = separateSides(desk.paths, held, structure);
  const batches = findBatches(first.inputs);
  const parted = applyBatches(first.inputs, batches);
  const second =
    batches.length === 0
      ? { faults: [], inputs: first.inputs }
      : separateSides(desk.paths, parted, structure);
  const common = reference === undefined ? [] : compareSides(first.inputs, reference);
  const ofDesk = path ? attributeFaults(common, first.inputs, path.evidence) : common;
  const steps = path && drift?.level ? listLevelSteps(drift.level, path.turns) : [];
  return {
    inputs: second.inputs,
    shared: [...ofDesk, ...steps, ...first.faults, ...second.faults],
    batches,
    openWays: findOpenWays(second.inputs, structure),
    ...(drift === undefined ? {} : { drift }),
  };
}

function structureOf(desk: JudgedDesk): SharedStructure {
  const { paths, flow, strips, construction, passParts = [] } = desk;
  const known = strips ?? [...new Set(paths.map(({ strip }) => strip))];
  const structure = buildSharedStructure({
    strips: known,
    flow,
    construction: construction ?? defaultConstruction,
  });
  return { ...structure, parts: [...structure.parts, ...passParts] };
}

/**
 * Ranks and diagnoses all paths of a round, individually and across the desk. What several paths
 * share is found first and subtracted, so that each is judged as if the shared part were good.
 *
 * @param recorded one for each path of the desk, in order
 *
 * @param reference what the desk as a whole is compared with; without one it is not judged
 */
export function rankAndDiagnose(
  desk: JudgedDesk,
  recorded: readonly PathToRank[],
  reference?: DeskReference,
): DiagnosedRound {
  const { inputs, shared, batches, openWays, drift } = prepareRound(desk, recorded, reference);
  const ranked = rankPartners(inputs);
  const around = createReferenceReader(inputs, desk.inputs, desk.flow);
  const alone = desk.paths.map(({ input }, i) =>
    diagnosePath(ranked[i].spoken, ranked[i], around(ranked[i].spoken, input)),
  );
  const swapped = findSwappedTakes(
    desk.paths.flatMap((path, i) => {
      const { spoken } = ranked[i];
      const family = findRecordedInput(spoken, ranked[i], around(spoken, path.input), alone[i]);
      if (family === undefined) return [];
      const like = inputs.flatMap((one) => (one.family === family ? [inputOf(one.path)] : []));
      return [{ ...path, causes: alone[i], like: new Set(like) }];
    }),
  );
  const feeds = listOnlyFeeds(desk);
  const causes = desk.paths.map(({ path }, i) => {
    const own = swapped.get(path) ?? alone[i];
    const way = openWays.find(({ paths }) => paths.includes(path));
    return way === undefined ? withFedAlone(own, feeds.get(path)) : withOpenWay(own, way);
  });
  const places = locateFaults(
    desk.paths.map((path, i) => ({
      ...path,
      causes: causes[i],
      judged: ranked[i].rank !== undefined,
    })),
    desk.flow,
  );
  const paths = ranked.map((one, i): DiagnosedPath => {
    const place = places.where.get(one.path);
    const [first, ...others] = causes[i];
    return {
      ...one,
      findings: withStranger(one, first),
      causes: first && place !== undefined ? [{ ...first, place }, ...others] : causes[i],
    };
  });
  return {
    paths,
    shared,
    openWays,
    remarks: [...batches.map((one) => toRemark(one, desk.paths)), ...places.remarks],
    ...(drift === undefined ? {} : { drift }),
  };
}

/** Outputs of passes by path, where they fed no other strip's path of its family. */
function listOnlyFeeds({ paths, passParts = [] }: JudgedDesk): ReadonlyMap<string, string> {
  const known = new Map(paths.map((one) => [one.path, one]));
  const feeds = new Map<string, string>();
  for (const { kind, name, paths: fed = [] } of passParts) {
    if (kind !== "output") continue;
    for (const path of fed) {
      const own = known.get(path);
      const isAlike = (other: string) =>
        known.get(other)?.family === own?.family && known.get(other)?.strip !== own?.strip;
      if (!fed.some(isAlike)) feeds.set(path, name);
    }
  }
  return feeds;
}

/** `mic` of `7/mic`, and of `7/mic, right side`. */
function inputOf(path: string): string {
  return path.slice(path.indexOf("/") + 1).split(",")[0];
}

function toRemark({ family, members, differ }: Batches, paths: JudgedDesk["paths"]): Remark {
  const stripOf = new Map(paths.map(({ path, strip }) => [path, strip]));
  const [a, b] = members.map((own) => own.map((path) => stripOf.get(path) ?? path));
  return { code: "two-batches", family, strips: [a, b], readings: differ };
}

/** A path whose only problem is a wrong patch still needs a look. */
function withStranger({ findings }: RankedPartner, first: Cause | undefined): readonly Finding[] {
  if (first?.kind !== "patch" || findings.some(({ severity }) => severity !== "remark")) {
    return findings;
  }
  const most = findings.reduce((a, b) => (Math.abs(b.score) > Math.abs(a.score) ? b : a));
  return findings.map((one) =>
    one === most ? { ...one, severity: "watch", elseAs: "another-input" } : one,
  );
}

/** Creates the reference for each path: its family, and the others. */
export function createReferenceReader(
  inputs: readonly PathToRank[],
  kinds: readonly Pick<DeskInput, "name" | "nominalDbu">[],
  flow?: DeskFlow,
): (path: PathToRank, input: string) => PathReference {
  const pairs = inputs.flatMap((first) => {
    const second = toPartnerPath(first);
    return second === undefined ? [] : [{ first, second }];
  });
  const seconds = pairs.map(({ second }) => second);
  const besides = new Map(
    pairs.flatMap(({ first, second }) => [
      [first.path, second],
      [second.path, first],
    ]),
  );
  const panned = createPannedReader(pairs, flow);
  const families = groupFamilies([...inputs, ...seconds]);
  const usual = new Map([...families].map(([name, family]) => [name, computeFamilyStats(family)]));
  // Another batch or side of the same input does not count as another input.
  const inputsOf = new Map(
    [...families].map(([name, family]) => [name, new Set(family.map(({ path }) => inputOf(path)))]),
  );
  const socketDbu = new Map(kinds.map(({ name, nominalDbu }) => [name, nominalDbu]));
  const besideOf = (path: string, input: string) => {
    const other = besides.get(path);
    if (other === undefined || !panned(input)) return {};
    return { beside: { input: other, usual: usual.get(other.family) } };
  };
  return ({ family, path }, input) => ({
    ...besideOf(path, input),
    usual: usual.get(family) ?? getReferenceStats(families.get(family) ?? [], path),
    inputDbu: socketDbu.get(input),
    others: [...usual].flatMap(([name, one]) =>
      one && name !== family && !inputsOf.get(name)?.has(input) ? [{ name, usual: one }] : [],
    ),
  });
}

/**
 * Whether both sides of an input's paths come from one signal: by the names of its stages in the
 * desk file or, if they do not show it, by the scatter of its paths. If neither shows it, one side
 * says nothing about the other.
 */
function createPannedReader(
  pairs: readonly { readonly first: PathToRank; readonly second: PathToRank }[],
  flow: DeskFlow | undefined,
): (input: string) => boolean {
  const told = new Map<string, boolean>();
  return (input) => {
    const known = told.get(input);
    if (known !== undefined) return known;
    const own = pairs.flatMap(({ first, second }) => {
      const [a, b] = [first.measurement, second.measurement];
      if (inputOf(first.path) !== input || !a || !b) return [];
      const [one, other] = [first.path, second.path];
      return [{ first: { path: one, measurement: a }, second: { path: other, measurement: b } }];
    });
    const stages = flow?.stages[input] ?? [];
    const named = tellSideElectronics(stages);
    const scattered = compareSideScatter(own);
    const isTwo = named === "two" || scattered === "two";
    const panned = !isTwo && (named === "one" || scattered === "one");
    told.set(input, panned);
    return panned;
  };
}

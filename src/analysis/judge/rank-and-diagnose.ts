import type { Desk, DeskInput } from "../../desk/types.js";
import { diagnosePath, findRecordedInput } from "../../diagnose/diagnose.js";
import { locateFaults } from "../../diagnose/locate-faults.js";
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
import { type RankedPartner, rankPartners, toPartnerPath } from "../../rank/rank-partners.js";
import type { Finding } from "../../rank/types.js";

/** A path as judged: how odd it is, what stands out, and why. */
export interface DiagnosedPath extends RankedPartner {
  readonly causes: readonly Cause[];
}

/**
 * Ranks and diagnoses all paths of a round, one by one and across the desk.
 *
 * @param inputs one for each path of the desk, in its order
 */
export function rankAndDiagnose(
  desk: Pick<Desk, "paths" | "inputs" | "flow">,
  recorded: readonly PathToRank[],
): { readonly paths: readonly DiagnosedPath[]; readonly remarks: readonly string[] } {
  const batches = findBatches(recorded);
  const inputs = applyBatches(recorded, batches);
  const ranked = rankPartners(inputs);
  const around = createReferenceReader(inputs, desk.inputs);
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
  const causes = desk.paths.map(({ path }, i) => swapped.get(path) ?? alone[i]);
  const places = locateFaults(
    desk.paths.map((path, i) => ({
      ...path,
      causes: causes[i],
      judged: ranked[i].rank !== undefined,
    })),
    desk.flow,
  );
  const paths = ranked.map((one, i): DiagnosedPath => {
    const where = places.where.get(one.path);
    const [first, ...others] = causes[i];
    return {
      ...one,
      findings: withStranger(one, first),
      causes: first && where !== undefined ? [{ ...first, where }, ...others] : causes[i],
    };
  });
  return { paths, remarks: [...batches.map(batchWords), ...places.remarks] };
}

/** `mic` of `7/mic`, and of `7/mic, right side`. */
function inputOf(path: string): string {
  return path.slice(path.indexOf("/") + 1).split(",")[0];
}

function batchWords({ family, members, differ }: Batches): string {
  const [a, b] = members.map((paths) => paths.map((path) => path.split("/")[0]).join(", "));
  return `The ${family} paths are two batches that differ in ${differ.join(" and ")}: strips ${a}; and ${b}. Each was compared with its own kind. If that is so, say it in desk.yaml with \`families\`.`;
}

/** A path that nothing speaks against but that it is another's calls for a look all the same. */
function withStranger({ findings }: RankedPartner, first: Cause | undefined): readonly Finding[] {
  if (first?.kind !== "patch" || findings.some(({ severity }) => severity !== "remark")) {
    return findings;
  }
  const most = findings.reduce((a, b) => (Math.abs(b.score) > Math.abs(a.score) ? b : a));
  const words = `${most.words}, and all else as if another input had been recorded`;
  return findings.map((one) => (one === most ? { ...one, severity: "watch", words } : one));
}

/** What each path is to be seen against: its family, and the others. */
export function createReferenceReader(
  inputs: readonly PathToRank[],
  kinds: readonly Pick<DeskInput, "name" | "nominalDbu">[],
): (path: PathToRank, input: string) => PathReference {
  const seconds = inputs.flatMap((input) => toPartnerPath(input) ?? []);
  const families = groupFamilies([...inputs, ...seconds]);
  const usual = new Map([...families].map(([name, family]) => [name, computeFamilyStats(family)]));
  // Another batch or side of the same input is no other input.
  const inputsOf = new Map(
    [...families].map(([name, family]) => [name, new Set(family.map(({ path }) => inputOf(path)))]),
  );
  const socketDbu = new Map(kinds.map(({ name, nominalDbu }) => [name, nominalDbu]));
  return ({ family, path }, input) => ({
    usual: usual.get(family) ?? getReferenceStats(families.get(family) ?? [], path),
    inputDbu: socketDbu.get(input),
    others: [...usual].flatMap(([name, one]) =>
      one && name !== family && !inputsOf.get(name)?.has(input) ? [{ name, usual: one }] : [],
    ),
  });
}

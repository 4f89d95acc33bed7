import type { Desk, DeskInput } from "../desk/types.js";
import type { Surroundings } from "../diagnose/case.js";
import { diagnosePath, heardAs } from "../diagnose/diagnose.js";
import { swappedTakes } from "../diagnose/swapped.js";
import type { Cause } from "../diagnose/types.js";
import { placesOf } from "../diagnose/where.js";
import { type Batches, batchesOf, inBatches } from "../rank/batches.js";
import { familiesOf, type RankedInput, usualFor, usualOf } from "../rank/families.js";
import { type RankedSide, rankSides, secondSide } from "../rank/sides.js";
import type { Finding } from "../rank/types.js";

/** A path as judged: how odd it is, what stands out, and why. */
export interface Judged extends RankedSide {
  readonly causes: readonly Cause[];
}

/**
 * Ranks and diagnoses all paths of a round, one by one and across the desk.
 *
 * @param inputs one for each path of the desk, in its order
 */
export function judge(
  desk: Pick<Desk, "paths" | "inputs" | "flow">,
  recorded: readonly RankedInput[],
): { readonly paths: readonly Judged[]; readonly remarks: readonly string[] } {
  const batches = batchesOf(recorded);
  const inputs = inBatches(recorded, batches);
  const ranked = rankSides(inputs);
  const around = surroundings(inputs, desk.inputs);
  const alone = desk.paths.map(({ input }, i) =>
    diagnosePath(ranked[i].spoken, ranked[i], around(ranked[i].spoken, input)),
  );
  const swapped = swappedTakes(
    desk.paths.flatMap((path, i) => {
      const { spoken } = ranked[i];
      const family = heardAs(spoken, ranked[i], around(spoken, path.input), alone[i]);
      if (family === undefined) return [];
      const like = inputs.flatMap((one) => (one.family === family ? [inputOf(one.path)] : []));
      return [{ ...path, causes: alone[i], like: new Set(like) }];
    }),
  );
  const causes = desk.paths.map(({ path }, i) => swapped.get(path) ?? alone[i]);
  const places = placesOf(
    desk.paths.map((path, i) => ({
      ...path,
      causes: causes[i],
      judged: ranked[i].rank !== undefined,
    })),
    desk.flow,
  );
  const paths = ranked.map((one, i): Judged => {
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
function withStranger({ findings }: RankedSide, first: Cause | undefined): readonly Finding[] {
  if (first?.kind !== "patch" || findings.some(({ severity }) => severity !== "remark")) {
    return findings;
  }
  const most = findings.reduce((a, b) => (Math.abs(b.score) > Math.abs(a.score) ? b : a));
  const words = `${most.words}, and all else as if another input had been recorded`;
  return findings.map((one) => (one === most ? { ...one, severity: "watch", words } : one));
}

/** What each path is to be seen against: its family, and the others. */
export function surroundings(
  inputs: readonly RankedInput[],
  kinds: readonly Pick<DeskInput, "name" | "nominalDbu">[],
): (path: RankedInput, input: string) => Surroundings {
  const seconds = inputs.flatMap((input) => secondSide(input) ?? []);
  const families = familiesOf([...inputs, ...seconds]);
  const usual = new Map([...families].map(([name, family]) => [name, usualOf(family)]));
  // Another batch or side of the same input is no other input.
  const inputsOf = new Map(
    [...families].map(([name, family]) => [name, new Set(family.map(({ path }) => inputOf(path)))]),
  );
  const socketDbu = new Map(kinds.map(({ name, nominalDbu }) => [name, nominalDbu]));
  return ({ family, path }, input) => ({
    usual: usual.get(family) ?? usualFor(families.get(family) ?? [], path),
    inputDbu: socketDbu.get(input),
    others: [...usual].flatMap(([name, one]) =>
      one && name !== family && !inputsOf.get(name)?.has(input) ? [{ name, usual: one }] : [],
    ),
  });
}

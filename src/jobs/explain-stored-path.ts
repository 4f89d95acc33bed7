import { existsSync } from "node:fs";
import { toPlacedInput } from "../analysis/judge/desk-reference.js";
import { createReferenceReader, prepareRound } from "../analysis/judge/rank-and-diagnose.js";
import { getDeskFile } from "../desk/desk-file.js";
import type { Desk } from "../desk/types.js";
import { type Explanation, explainPath } from "../diagnose/diagnose.js";
import { DeskroundError } from "../errors.js";
import { readKnownDesk } from "../history/checked/known-desk.js";
import type { Round, RoundPath } from "../history/types.js";
import { withoutLevelDrift } from "../history/without-level-drift.js";
import { rankPartners } from "../rank/rank-partners.js";

/**
 * Repeats the diagnosis of one path of a stored round from its readings.
 *
 * @param desk folder of the desk, whose file gives the levels at the sockets
 * @throws DeskroundError `usage` for a path that was not measured
 */
export async function explainStoredPath(
  desk: string,
  round: Round,
  path: RoundPath,
): Promise<Explanation> {
  if (path.status !== "measured") {
    throw new DeskroundError(
      "usage",
      `${path.path} was not measured in round ${round.id}: there is nothing to explain.`,
      `Its state: ${path.reason ?? path.status}.`,
    );
  }
  const known = existsSync(getDeskFile(desk)) ? toStructure(await readKnownDesk(desk)) : undefined;
  const { inputs } = prepareRound(
    { paths: round.paths, inputs: [], flow: { stages: {}, shared: [] }, ...known },
    withoutLevelDrift(round).paths.map(toPlacedInput),
  );
  const at = round.paths.findIndex((one) => one.path === path.path);
  const ranked = rankPartners(inputs)[at];
  const around = createReferenceReader(inputs, known?.inputs ?? [], known?.flow);
  return explainPath(ranked.spoken, ranked, around(ranked.spoken, path.input));
}

/** The parts of a desk file that the diagnosis needs; the paths are those of the round. */
function toStructure({ inputs, flow, strips, construction }: Desk) {
  return { inputs, flow, strips, construction };
}

import { existsSync } from "node:fs";
import { deskFile } from "../desk/locate.js";
import { readDesk } from "../desk/read.js";
import { type Explanation, explainPath } from "../diagnose/diagnose.js";
import { DeskroundError } from "../errors.js";
import type { Round, RoundPath } from "../history/types.js";
import { batchesOf, inBatches } from "../rank/batches.js";
import type { RankedInput } from "../rank/families.js";
import { rankSides } from "../rank/sides.js";
import { surroundings } from "./judge.js";

/**
 * The reasoning on one path of a stored round, done again from its readings.
 *
 * @param desk folder of the desk, whose file tells the levels at the sockets
 * @throws DeskroundError `usage` for a path that was not measured
 */
export function why(desk: string, round: Round, path: RoundPath): Explanation {
  if (path.status !== "measured") {
    throw new DeskroundError(
      "usage",
      `${path.path} was not measured in round ${round.id}: there is nothing to reason from.`,
      `Its state: ${path.reason ?? path.status}.`,
    );
  }
  const recorded = round.paths.map(rankedInput);
  const inputs = inBatches(recorded, batchesOf(recorded));
  const at = round.paths.indexOf(path);
  const ranked = rankSides(inputs)[at];
  const around = surroundings(inputs, socketLevels(desk));
  return explainPath(ranked.spoken, ranked, around(ranked.spoken, path.input));
}

function rankedInput({ path, family, status, partner, ...made }: RoundPath): RankedInput {
  const { readings, absent, curves } = made;
  const measurement = { readings, absent, curves };
  const side = partner ? { partner } : {};
  return {
    path,
    family,
    ...(status === "measured" ? { measurement: { ...measurement, ...side } } : {}),
  };
}

function socketLevels(desk: string) {
  return existsSync(deskFile(desk)) ? readDesk(desk).inputs : [];
}

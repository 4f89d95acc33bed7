import { existsSync } from "node:fs";
import { deskFile } from "../desk/locate.js";
import { readDesk } from "../desk/read.js";
import { type Explanation, explainPath } from "../diagnose/diagnose.js";
import { DeskroundError } from "../errors.js";
import type { Round, RoundPath } from "../history/types.js";
import { familiesOf, type RankedInput, usualOf } from "../rank/families.js";
import { rankPaths } from "../rank/rank.js";

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
  const inputs = round.paths.map(rankedInput);
  const at = round.paths.indexOf(path);
  const ranked = rankPaths(inputs);
  const usual = new Map([...familiesOf(inputs)].map(([name, family]) => [name, usualOf(family)]));
  return explainPath(inputs[at], ranked[at], {
    usual: usual.get(path.family),
    inputDbu: socketDbu(desk, path.input),
    others: [...usual].flatMap(([name, one]) =>
      one && name !== path.family ? [{ name, usual: one }] : [],
    ),
  });
}

function rankedInput({ path, family, status, readings, absent, curves }: RoundPath): RankedInput {
  return {
    path,
    family,
    ...(status === "measured" ? { measurement: { readings, absent, curves } } : {}),
  };
}

function socketDbu(desk: string, input: string): number | undefined {
  if (!existsSync(deskFile(desk))) return undefined;
  return readDesk(desk).inputs.find(({ name }) => name === input)?.nominalDbu;
}

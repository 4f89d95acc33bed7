import { inUse } from "../bench.js";
import type { DeviationRange, PredictedCause, Prediction } from "../cause-kind.js";
import { patchedAnew } from "../checks/check-kinds.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { bandFromHz, type OtherFamily, type PathEvidence } from "../path-evidence.js";

const says = {
  "as-another-family": ({ family }: { readonly family: string }) =>
    `everything measured matches the usual values of ${family}`,
} satisfies EvidenceWords;
const seen = createEvidence("wrong-path-recorded", says);

/**
 * A recording of another input under this path's name matches that other family in everything:
 * level, noise, distortion and response.
 */
export const wrongPathRecorded: PredictedCause<"wrong-path-recorded"> = {
  id: "wrong-path-recorded",
  name: "another input recorded under this name",
  word: "mix-up",
  kind: "patch",
  shownBy: ["round"],
  prior: 0.03,
  answers: patchedAnew,
  settle: inUse("check the patch and the file's name, and record this path again", undefined, [
    "recording set-up",
  ]),
  tryNow: "check which socket the plug is in",
  confusedWith: [
    {
      cause: "noisy-device",
      check:
        "record the path again, watching which socket the plug goes into: a real fault measures the same again",
    },
  ],
  says,
  predict: bestFamily,
};

/**
 * The family that a path measures like, if it is not its own.
 *
 * @example
 * // There is no other family.
 * findMatchingFamily({ others: [] }); // undefined
 */
export function findMatchingFamily(path: PathEvidence): string | undefined {
  return bestFamily(path)?.name;
}

type AsThough = Prediction & { readonly name: string; readonly misfit: number };

function bestFamily(path: PathEvidence): AsThough | undefined {
  const predictions = path.others.flatMap((other) => asThough(path, other) ?? []);
  return predictions.reduce<AsThough | undefined>(
    (best, one) => (best && best.misfit <= one.misfit ? best : one),
    undefined,
  );
}

/** Members of the other family lie within this many of their spreads. */
const within = 2;
/** A reading this many spreads further out does not belong to the other family. */
const never = 4;

function asThough(path: PathEvidence, { name, usual }: OtherFamily): AsThough | undefined {
  const moves: Record<string, DeviationRange> = {};
  let misfit = 0;
  for (const [id, { deviation, spread }] of path.features) {
    const own = path.usual?.readings[id];
    const other = usual.readings[id];
    if (!own || !other) continue;
    const between = other.median - own.median;
    const slack = within * Math.max(other.scale, spread / 2);
    moves[id] = [between - slack, between + slack];
    if (Math.abs(deviation - between) > slack + never * spread) return undefined;
    misfit += Math.log1p(((deviation - between) / (slack + spread)) ** 2);
  }
  if (Object.keys(moves).length === 0) return undefined;
  const response = (hz: number) => {
    const name = hz < bandFromHz ? "responseLow" : "response";
    const [own, other] = [path.usual?.curves[name], usual.curves[name]];
    const i = own?.x.findIndex((at) => at >= hz) ?? -1;
    const [a, b] = [own?.points[i], other?.points[i]];
    return a && b ? b.median - a.median : 0;
  };
  return {
    name,
    moves,
    response,
    misfit,
    evidence: [seen("as-another-family", { family: name })],
  };
}

import type { TrendLimit } from "../../history/trend/types.js";
import type { Round, RoundPath } from "../../history/types.js";
import { listSecondSides, withSides } from "../../history/with-sides.js";
import { findReadingKind, getReadingId } from "../../measure/reading-kinds.js";
import { compileLimit } from "./compile.js";
import type { ExpressionScope } from "./expression.js";
import { loadLockedMath } from "./locked-math.js";
import { createOperandReader, isValue } from "./operand-reader.js";
import { listLimitPaths } from "./scope.js";
import type { CompiledLimit, Limit } from "./types.js";
import { listVocabulary } from "./vocabulary.js";

/**
 * Limits of the corner frequencies: at a corner the response has fallen by 3 dB, which the built-in
 * limit `band` allows at 20 Hz and 20 kHz. A corner can be followed over the years long before the
 * response at 20 Hz changes.
 */
function listBandEnds(reading: string): readonly TrendLimit[] {
  const end = findReadingKind(reading)?.ageing?.bandEnd;
  return end === undefined ? [] : [{ name: "band", value: end.hz, side: end.side }];
}

const gainId = getReadingId("gain");

/**
 * The limits that a path's reading may reach over the years: those that compare the reading itself,
 * from above or below, with a value that is a number today. `siblings(…)` is the family's median in
 * the last round, `baseline(…)` the path's own in the first.
 *
 * @param wholeRound the last round
 * @param wholeFirst the first, as baseline
 * @throws DeskroundError `limits-file`
 */
export async function listTrendLimits(
  wholeRound: Round,
  wholeFirst: Round,
  limits: readonly Limit[],
): Promise<(path: string, reading: string) => readonly TrendLimit[]> {
  // Each side of a stereo bus ages separately.
  const round = withSides(wholeRound);
  const first = withSides(wholeFirst);
  const seconds = listSecondSides(wholeRound);
  const meaning: ExpressionScope = {
    math: await loadLockedMath(),
    round: listVocabulary(round),
    roundName: `round ${round.id}`,
    baseline: listVocabulary(first),
  };
  const read = createOperandReader(round, first);
  const compiled = limits.flatMap((limit) => {
    const one = compiledIfSound(limit, meaning);
    if (one === undefined) return [];
    const named = listLimitPaths(limit, wholeRound.paths).map(({ path }) => path);
    return [
      { one, paths: new Set([...named, ...named.flatMap((name) => seconds.get(name) ?? [])]) },
    ];
  });
  // The user may have redefined the limit of that name.
  const hasBand = compiled.some(
    ({ one: { limit, band } }) => limit.name === "band" && band?.fromHz === 20,
  );
  const byName = new Map(round.paths.map((path) => [path.path, path]));
  return (name, reading) => {
    const ends = hasBand ? listBandEnds(reading) : [];
    const path = byName.get(name);
    if (path === undefined) return ends;
    return [
      ...ends,
      ...compiled.flatMap(({ one, paths }) =>
        paths.has(name) ? boundsOn(one, path, reading) : [],
      ),
    ];
  };

  function boundsOn(one: CompiledLimit, path: RoundPath, reading: string): TrendLimit[] {
    const quantity = quantityOf(one, reading);
    if (quantity === undefined) return [];
    const found = one.figures.map((figure) => read(figure, path));
    const known = found.filter(isValue);
    if (known.length < found.length) return [];
    const figures = known.map(({ value }) => value);
    // Noise relative to the tone, at the path's present gain.
    const gain = quantity === "against-gain" ? (path.readings[gainId]?.value ?? 0) : 0;
    return one.comparisons.flatMap(({ relation, bound }): TrendLimit[] => {
      const value = bound(figures) + gain;
      if (relation === "==" || !Number.isFinite(value)) return [];
      return [{ name: one.limit.name, value, side: relation.startsWith("<") ? "upper" : "lower" }];
    });
  }
}

/** How a limit judges a reading, if it judges only that and its bound is a number. */
function quantityOf(
  { figures, comparisons, band }: CompiledLimit,
  reading: string,
): "alone" | "against-gain" | undefined {
  const own = figures.filter(({ whose }) => whose === "own");
  if (band !== undefined || own.some(({ at }) => at !== undefined)) return undefined;
  const names = own.map(({ id }) => id).join();
  if (names === reading && comparisons.every(({ judged }) => judged.code === "figure")) {
    return "alone";
  }
  const isAgainstGain = comparisons.every(
    ({ judged }) =>
      judged.code === "difference" && judged.name === reading && judged.less === gainId,
  );
  if (names === `${reading},${gainId}` && isAgainstGain) return "against-gain";
  return undefined;
}

function compiledIfSound(limit: Limit, meaning: ExpressionScope): CompiledLimit | undefined {
  try {
    return compileLimit(limit, meaning);
  } catch (error) {
    if (limit.from === "file") throw error;
    return undefined;
  }
}

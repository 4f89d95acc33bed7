import { median } from "../../dsp/robust.js";
import { mostCertain, stripEvidenceShare } from "../certainty.js";
import { serviceFloors } from "../severity.js";
import { isDead } from "./dead.js";
import { mayBeMakeDifference } from "./make-difference.js";
import type { MovedRow, Score } from "./score-candidate.js";
import type { PlacedInput, SharedFault, SharedFinding } from "./types.js";

/**
 * A shared fault as it is reported: its findings as measured, those of the first aspect first, and
 * within an aspect the most significant; one per reading and aspect.
 *
 * @param inputs all paths of the round
 * @example
 * const strips = ["1", "2", "3", "4", "5", "6"];
 * const inputs = strips.map((strip) => ({ path: `${strip}/mic`, strip, input: "mic", family: "mic" }));
 * const candidate = { part: { kind: "ribbon", name: "A" }, members: new Set(["2/mic", "3/mic"]) };
 * const row = { reading: "gain", unit: "dB", aspect: "level", least: 1.2 };
 * const moved = [{ row, family: "mic", inside: -4, outside: 0, deviation: -4, nats: 9 }];
 * const fault = toSharedFault({ candidate, moved, aspects: ["level"], logOddsApart: 6 }, inputs);
 * fault.paths; // ["2/mic", "3/mic"]
 * fault.severity; // "service"
 */
export function toSharedFault(
  score: Pick<Score, "candidate" | "logOddsApart" | "moved" | "aspects">,
  inputs: readonly PlacedInput[],
): SharedFault {
  const { candidate, logOddsApart, moved, aspects } = score;
  const [aspect] = aspects;
  const order = [...moved].sort(
    (a, b) => aspects.indexOf(a.row.aspect) - aspects.indexOf(b.row.aspect) || b.nats - a.nats,
  );
  const seen = new Set<string>();
  const findings = order.flatMap((one): SharedFinding[] => {
    const { row } = one;
    const { inside, outside } = asMeasured(one, candidate.members, inputs);
    const key = `${row.reading} ${row.aspect}`;
    if (seen.has(key)) return [];
    seen.add(key);
    const at = row.atHz === undefined ? {} : { atHz: row.atHz };
    return [
      {
        reading: row.reading,
        deviation: inside - outside,
        unit: row.unit,
        value: inside,
        expected: outside,
        ...at,
      },
    ];
  });
  const grave = order.some(
    ({ row, deviation }) => Math.abs(deviation) >= serviceFloors * row.least,
  );
  return {
    part: candidate.part,
    paths: inputs.flatMap(({ path }) => (candidate.members.has(path) ? [path] : [])),
    findings,
    aspect: isDead(aspect, findings) ? "dead" : aspect,
    against: "siblings",
    severity: grave && !mayBeMakeDifference(score, inputs.length) ? "service" : "watch",
    probability: Math.min(mostCertain, 1 / (1 + Math.exp(-stripEvidenceShare * logOddsApart))),
  };
}

/** Both medians of a row as measured. */
function asMeasured(
  { row, family, inside, outside }: MovedRow,
  members: ReadonlySet<string>,
  inputs: readonly PlacedInput[],
) {
  const { readPlain } = row;
  if (readPlain === undefined) return { inside, outside };
  const own = inputs.filter((path) => path.family === family);
  const of = (isInside: boolean) =>
    own.flatMap((path) => (members.has(path.path) === isInside ? (readPlain(path) ?? []) : []));
  return { inside: median(of(true)), outside: median(of(false)) };
}

import { median } from "../../dsp/robust.js";
import { ageingIndicators } from "./ageing.js";
import type { Outlook, PathTrend } from "./types.js";

/** Due dates within 1.5 × the time to the first, plus a year, share one pull. */
const together = { times: 1.5, years: 1 } as const;

/** Paths whose readings will reach a limit, grouped by what they will need and when. */
export function computeOutlook(paths: readonly PathTrend[]): readonly Outlook[] {
  const groups: PathTrend[][] = [];
  const coming = firstOfEach(paths);
  for (const path of coming) {
    const group = groups.find(
      ([first]) =>
        first.reading === path.reading &&
        first.crossing?.limit.name === path.crossing?.limit.name &&
        yearsOf(path) <= together.times * yearsOf(first) + together.years,
    );
    if (group) group.push(path);
    else groups.push([path]);
  }
  return groups
    .flatMap((group): Outlook[] => {
      const crossings = group.flatMap(({ crossing }) => crossing ?? []);
      const [first] = crossings;
      if (first === undefined) return [];
      const order = new Map(paths.map(({ path }, k) => [path, k]));
      const sorted = [...group].sort((a, b) => (order.get(a.path) ?? 0) - (order.get(b.path) ?? 0));
      return [
        {
          reading: group[0].reading,
          limit: first.limit,
          unit: group[0].unit,
          strips: [...new Set(sorted.map(({ strip }) => strip))],
          paths: sorted.map(({ path }) => path),
          years: median(crossings.map(({ years }) => years)),
          from: Math.min(...crossings.map(({ from }) => from)),
          until: Math.max(...crossings.map(({ until }) => until)),
          ...(crossings.some(({ open }) => open) ? { open: true as const } : {}),
        },
      ];
    })
    .sort((a, b) => a.years - b.years);
}

/** A strip that gets new capacitors for one reading has them for the other. */
function firstOfEach(paths: readonly PathTrend[]): readonly PathTrend[] {
  const seen = new Set<string>();
  return paths
    .filter(({ crossing }) => crossing !== undefined)
    .sort((a, b) => yearsOf(a) - yearsOf(b))
    .filter(({ path, reading }) => {
      const key = `${path} ${ageingIndicators.find((one) => one.reading === reading)?.wants}`;
      const first = !seen.has(key);
      seen.add(key);
      return first;
    });
}

function yearsOf({ crossing }: PathTrend): number {
  return crossing?.years ?? Number.POSITIVE_INFINITY;
}

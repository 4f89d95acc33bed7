import type { NotMeasured } from "../../not-measured.js";
import { groupBy } from "../../text/group-by.js";
import type { MeasuredTake, MeasuredTakes } from "./measure-takes.js";

/**
 * Because of noise, no two recordings of a desk are identical. Identical returns come from a file
 * copied under another name, or from one output recorded on two channels. It cannot be known which
 * of the two paths it is, so neither is judged; of two takes the earlier is kept.
 *
 * @param takes of each path, measured
 * @returns the same, copies as unusable
 */
export function dropCopies(takes: MeasuredTakes): MeasuredTakes {
  const all = [...takes].flatMap(([path, own]) =>
    own.map((one, k) => ({ path, one, number: k + 1 })),
  );
  const known = all.filter(({ one }) => one.fingerprint !== undefined);
  const faults = new Map<MeasuredTake, NotMeasured>();
  for (const same of groupBy(known, ({ one }) => one.fingerprint).values()) {
    const paths = [...new Set(same.map(({ path }) => path))];
    if (paths.length > 1) {
      for (const { path, one } of same) faults.set(one, describeCopy(path, one, same));
      continue;
    }
    const [first, ...copies] = same;
    for (const { one } of copies) faults.set(one, { code: "copy-of-take", number: first.number });
  }
  if (faults.size === 0) return takes;
  const spoilt = (one: MeasuredTake): MeasuredTake => {
    const unusable = faults.get(one);
    return unusable === undefined ? one : { found: one.found, unusable };
  };
  return new Map([...takes].map(([path, own]) => [path, own.map(spoilt)]));
}

type Same = readonly { readonly path: string; readonly one: MeasuredTake }[];

function describeCopy(path: string, { found }: MeasuredTake, same: Same): NotMeasured {
  const others = same.filter((other) => other.path !== path);
  const of = others.map(({ path: other, one }) => {
    const { file, channel } = one.found;
    if (file !== found.file) return { path: other, file };
    return { path: other, ...(channel === found.channel ? {} : { channel }) };
  });
  return { code: "copy-of-path", of };
}

import { curveOf } from "../../history/standing.js";
import { readingKind, readingKinds } from "../../measure/registry.js";
import type { Finding } from "../../rank/types.js";
import type { Markup } from "./markup.js";
import { type Crowd, smallStrip } from "./plots/dots.js";
import type { FamilyView, PathView, View } from "./view.js";

/** A reading of all members of a family; undefined where too few have it to be a crowd. */
export function crowdOf(family: FamilyView, reading: string): Crowd | undefined {
  const known = crowds.get(family) ?? new Map<string, Crowd | undefined>();
  crowds.set(family, known);
  if (!known.has(reading)) known.set(reading, gathered(family, reading));
  return known.get(reading);
}

/** Every path of a family asks for the same. */
const crowds = new WeakMap<FamilyView, Map<string, Crowd | undefined>>();

function gathered(family: FamilyView, reading: string): Crowd | undefined {
  const scatter = family.usual?.readings[reading];
  const index = readingKinds.findIndex(({ id }) => id === reading);
  if (scatter === undefined || index < 0) return undefined;
  const values = family.members.flatMap(({ readings }) => readings[reading]?.value ?? []);
  return { piece: `r${family.number}-${index}`, values, scatter };
}

/** A path's reading among its siblings'; undefined where there is nothing to be seen. */
export function siblingStrip(
  { pieces }: View,
  { path, family }: PathView,
  reading: string,
): Markup | undefined {
  const own = path.readings[reading];
  const crowd = crowdOf(family, reading);
  return own === undefined || crowd === undefined ? undefined : smallStrip(pieces, crowd, own);
}

/** What a finding stands out by, among its siblings': its reading, or its place on the response. */
export function findingStrip(view: View, one: PathView, finding: Finding): Markup | undefined {
  const at = finding.atHz;
  if (at === undefined) return siblingStrip(view, one, finding.reading);
  const curve = curveOf(finding.reading);
  const { path, family } = one;
  const usual = family.usual?.curves[curve];
  const i = usual?.x.findIndex((hz) => Math.abs(hz / at - 1) < 0.005) ?? -1;
  const [scatter, own] = [usual?.points[i], path.curves[curve]];
  if (scatter === undefined || own?.y[i] === undefined) return undefined;
  const values = family.members.flatMap(({ curves }) => curves[curve]?.y[i] ?? []);
  const crowd = { piece: `r${family.number}-${curve}-${i}`, values, scatter };
  return smallStrip(view.pieces, crowd, {
    value: own.y[i],
    unit: own.yUnit,
    uncertainty: own.uncertainty[i],
  });
}

/** A reading's name in words of the trade. */
export function readingName(id: string): string {
  return readingKind(id)?.name ?? id;
}

import { readingKind, readingKinds } from "../../measure/registry.js";
import type { Markup } from "./markup.js";
import { type Crowd, smallStrip } from "./plots/dots.js";
import type { FamilyView, PathView, View } from "./view.js";

/** A reading of all members of a family; undefined where too few have it to be a crowd. */
export function crowdOf(family: FamilyView, reading: string): Crowd | undefined {
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

/** A reading's name in words of the trade. */
export function readingName(id: string): string {
  return readingKind(id)?.name ?? id;
}

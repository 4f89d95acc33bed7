import { isOfWholeDesk } from "../notebook/open-dangers.js";
import type { PlanTexts } from "./plan-data.js";
import type { Plan, PlanPhase, PlanPlace } from "./types.js";

const powers: Readonly<Record<PlanPhase["id"], PlanPhase["power"]>> = {
  outside: "in use",
  open: "unplugged",
  inside: "powered and open",
  strips: "unplugged",
  try: "powered and open",
  close: "unplugged",
  use: "in use",
};

/** Whether a part of the desk has work with the desk open. */
export function isPlaceOpened({ items }: Pick<PlanPlace<PlanTexts>, "items">): boolean {
  return items.some(({ steps }) => steps.some(({ power }) => power !== "in use"));
}

/** Whether a part of the desk has work or remarks with the desk closed. */
export function isPlaceWorkedClosed(place: Pick<PlanPlace<PlanTexts>, "items">): boolean {
  return (
    !isPlaceOpened(place) ||
    place.items.some(({ steps }) => steps.some(({ power }) => power === "in use"))
  );
}

/**
 * The phases of a plan in their order; between two of them power may change. With an open danger
 * the desk is not switched on again, so there is nothing to try, close and use; with a danger of
 * the whole desk it is off from the beginning. If no strip comes out, supplies, buses and the rest
 * of the desk have the same phases.
 */
export function listPhases({
  outside,
  shared = [],
  steps,
  places = [],
  dangers = [],
}: Pick<
  Plan<PlanTexts>,
  "outside" | "shared" | "steps" | "places" | "dangers"
>): readonly PlanPhase[] {
  const ids: PlanPhase["id"][] = [];
  const isClosed = steps.length === 0 && places.some(isPlaceWorkedClosed);
  if (outside.length + shared.length > 0 || isClosed) ids.push("outside");
  if (steps.length > 0 || places.some(isPlaceOpened)) {
    const items = [
      ...places.flatMap((place) => place.items),
      ...steps.flatMap((step) => (step.kind === "strip" ? step.items : [])),
    ];
    const isLive = items.some((item) =>
      item.steps.some(({ power }) => power === "powered and open"),
    );
    ids.push("open", ...(isLive ? (["inside"] as const) : []), "strips");
    if (dangers.length === 0) ids.push("try", "close", "use");
  }
  const power = getClosedPower({ dangers });
  return ids.map((id) => ({ id, power: id === "outside" ? power : powers[id] }));
}

/** The state of power before the desk is opened: off if a danger concerns the whole desk. */
export function getClosedPower({
  dangers = [],
}: Pick<Plan<PlanTexts>, "dangers">): PlanPhase["power"] {
  return dangers.some(isOfWholeDesk) ? "unplugged" : powers.outside;
}

import type { Curve } from "../../../measure/types.js";
import { formatCount } from "../../../text/format-count.js";
import { formatHertz } from "../../../text/format-hertz.js";
import { formatSigned } from "../../../text/format-signed.js";
import { formatStoredAbsence } from "../../absences/format-absence.js";
import type { Drawing } from "./figure.js";

/** "−0.1 dB at 20 Hz, …": a curve at some frequencies, for readers who cannot see it. */
export function formatPoint({ x, y, yUnit }: Curve, places: readonly number[]): string {
  const told = places.flatMap((hz) => {
    const i = x.findIndex((at) => Math.abs(at / hz - 1) < 0.06);
    return i < 0 ? [] : [`${formatSigned(y[i].toFixed(1))} ${yUnit} at ${formatHertz(hz)}`];
  });
  return told.join(", ");
}

/** "Grey: median and band of 24 siblings." */
export function formatSiblings({ usual }: Drawing, curve: string): string {
  if (usual?.curves[curve] === undefined) return " Too few siblings for a band.";
  return ` Grey: median and band of ${formatCount(usual.count, "sibling")}.`;
}

/** Why a path has no curve. */
export function formatWhyAbsent({ path, signal }: Drawing, curve: string, needs: string): string {
  return formatStoredAbsence(path, curve) ?? `the ${signal.profile} signal has no ${needs}`;
}

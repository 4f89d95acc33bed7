import { isPhantomControl } from "./controls.js";
import { normalizeName } from "./names.js";
import { handlingTimesS, planPatchSteps } from "./patch-steps.js";
import type { Desk, DeskControl, DeskPath } from "./types.js";

/** One patched path of the controls pass, and the controls moved there. */
export interface ControlStop {
  readonly path: DeskPath;
  /** In the desk's order. */
  readonly controls: readonly DeskControl[];
}

type StopDesk = Pick<Desk, "paths" | "inputs" | "controls" | "referenceDbu">;

/**
 * Plans where each control of each strip is moved, once: at its input or, if all inputs share it,
 * at the first one. A control belongs to the inputs that the desk file names for it, or else to
 * those that set it to a mark of their own.
 *
 * @param paths requested, in run-sheet order; shared controls are moved at a strip's first path
 *
 * @param complained strips that come first, in this order
 *
 * @returns in the order that takes less time: strip by strip, or in run-sheet order
 */
export function planControlStops(
  desk: StopDesk,
  paths: readonly DeskPath[] = desk.paths,
  complained: readonly string[] = [],
): readonly ControlStop[] {
  const movable = desk.controls.filter((control) => !isPhantomControl(control));
  const carried = new Set<string>();
  const stops = paths.flatMap((path): ControlStop[] => {
    const own = movable.filter((control) => isOf(control, path.input, desk));
    // A strip's first path also has the shared controls.
    const isFirst = !carried.has(path.strip);
    carried.add(path.strip);
    const controls = movable.filter(
      (control) => own.includes(control) || (isFirst && isShared(control, desk)),
    );
    return controls.length === 0 ? [] : [{ path, controls }];
  });
  const strips = [...new Set(stops.map(({ path }) => path.strip))];
  const byStrip = strips.flatMap((strip) => stops.filter(({ path }) => path.strip === strip));
  const shortest = walkS(desk, byStrip) <= walkS(desk, stops) ? byStrip : stops;
  const first = complained.filter((strip) => strips.includes(strip));
  return [
    ...first.flatMap((strip) => byStrip.filter(({ path }) => path.strip === strip)),
    ...shortest.filter(({ path }) => !first.includes(path.strip)),
  ];
}

/**
 * The sets of controls that may have been moved at a path: its own, these with the shared ones, or
 * all of the strip. The number of windows tells which.
 */
export function listControlChoices(
  desk: Pick<Desk, "inputs" | "controls">,
  input: string,
): readonly (readonly DeskControl[])[] {
  const movable = desk.controls.filter((control) => !isPhantomControl(control));
  const own = movable.filter((control) => isOf(control, input, desk));
  const withShared = movable.filter((control) => own.includes(control) || isShared(control, desk));
  return [withShared, own, movable];
}

type Owned = Pick<Desk, "inputs">;

function isOf({ name, inputs: named }: DeskControl, input: string, { inputs }: Owned): boolean {
  const isSame = (one: string) => normalizeName(one) === normalizeName(input);
  if (named !== undefined) return named.some(isSame);
  return inputs.some((one) => isSame(one.name) && one.set?.[name] !== undefined);
}

function isShared(control: DeskControl, desk: Owned): boolean {
  return !desk.inputs.some(({ name }) => isOf(control, name, desk));
}

/** Seconds to step to the next strip (a guess, like `handlingTimesS`). */
const stepS = 1;

/** Seconds of patching and walking for stops in this order. */
function walkS(desk: StopDesk, stops: readonly ControlStop[]): number {
  const order = new Map([...new Set(desk.paths.map(({ strip }) => strip))].map((s, k) => [s, k]));
  const paths = stops.map(({ path }) => path);
  const hands = planPatchSteps(desk, paths).reduce((sum, { seconds }) => sum + seconds, 0);
  let steps = 0;
  for (const [k, { strip }] of paths.entries()) {
    if (k > 0) steps += Math.abs((order.get(strip) ?? 0) - (order.get(paths[k - 1].strip) ?? 0));
  }
  return hands + stepS * steps + handlingTimesS.play;
}

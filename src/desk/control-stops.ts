import { isPhantomControl } from "./controls.js";
import { normalizeName } from "./names.js";
import { handlingTimesS, planPatchSteps } from "./patch-steps.js";
import type { Desk, DeskControl, DeskPath } from "./types.js";

/** One plug of the controls pass, and what is moved at it. */
export interface ControlStop {
  readonly path: DeskPath;
  /** In the desk's order. */
  readonly controls: readonly DeskControl[];
}

type StopDesk = Pick<Desk, "paths" | "inputs" | "controls" | "referenceDbu">;

/**
 * Where each control of each strip is moved, once: one that belongs to an input at that input, one
 * that all inputs share at the first of them. A control belongs to the inputs that the desk file
 * names for it, else to those that set it to a mark of their own.
 *
 * @param paths that are wanted, in run-sheet order; what is shared is moved at the first of a strip
 * @param complained strips that come first, in this order
 * @returns in the order of the shortest walk: strip by strip, or in the order of the run sheet
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
    // The first of a strip takes what is shared along.
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
 * What may have been moved at a path, as its windows are counted: its own controls alone, with those
 * that are shared, or all that a strip has.
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

/** A step from one strip to the next, seconds (a guess, as all of `handlingTimesS`). */
const stepS = 1;

/** Seconds of hands and feet for stops in this order. */
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

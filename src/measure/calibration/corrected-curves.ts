import { powerToDb } from "../../dsp/decibels.js";
import { findCurveKind } from "../curve-kinds.js";
import { boundDb } from "../is-bound.js";
import type { OwnShare } from "../reading-kind.js";
import type { Curve, Curves, Reading } from "../types.js";
import { interpolateCurve } from "./interpolate-curve.js";
import { withResponse } from "./response-share.js";
import { computeRise } from "./steady-parts.js";
import { type InterfaceContext, subtractInterface } from "./subtract-interface.js";
import type { InputCalibration, PathCalibration, UnlikeWords } from "./types.js";
import { computeWordNoise } from "./word-noise.js";

/**
 * Removes the interface from curves; those that it does not affect are unchanged.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({
 *   x,
 *   y: x.map(shape),
 *   uncertainty: x.map(() => 0.001),
 *   xUnit: "Hz",
 *   yUnit: "dB",
 * });
 *
 * // The interface alone loses 3 dB everywhere; the path what is left.
 * const input = { fullScale: { value: 18, unit: "dBu", uncertainty: 0.1 }, curves: { response: curve(() => -3) } };
 * calibrateCurves({ response: curve(() => -5) }, { input }, 1).response.y[0]; // -2
 */
export function calibrateCurves(
  curves: Curves,
  { input, words }: Pick<PathCalibration, "input" | "words">,
  outputShare: number,
): Curves {
  const own = input.curves;
  return Object.fromEntries(
    Object.entries(curves).map(([id, curve]) => {
      const mine = own[id];
      const share = findCurveKind(id)?.own;
      if (share?.adds === "ratio") return [id, mine ? divided(curve, mine) : curve];
      const cleared =
        share && mine
          ? withoutOwnCurve(curve, mine, share, {
              outputShare,
              riseDb: computeRise(id, share, {}, powerToDb(outputShare)),
              words,
              response: curve.yUnit === "dBFS" ? own.response : undefined,
            })
          : curve;
      return [id, cleared.yUnit === "dBFS" ? inDbu(cleared, input) : cleared];
    }),
  );
}

/** A response divided by the interface's own: decibels are subtracted point by point. */
function divided(curve: Curve, own: Curve): Curve {
  const mine = curve.x.map((hz) => interpolateCurve(own, hz));
  return {
    ...curve,
    y: curve.y.map((db, i) => db - mine[i].value),
    uncertainty: curve.uncertainty.map((u, i) => Math.hypot(u, mine[i].uncertainty)),
  };
}

interface CurveContext extends Omit<InterfaceContext, "words"> {
  readonly words: UnlikeWords | undefined;
  /** The interface's response, if it affects what the path itself adds. */
  readonly response: Curve | undefined;
}

function withoutOwnCurve(curve: Curve, own: Curve, share: OwnShare, around: CurveContext): Curve {
  const { response } = around;
  const points = curve.x.map((hz, i) => {
    const heard = { value: curve.y[i], unit: curve.yUnit, uncertainty: curve.uncertainty[i] };
    const cleared = subtractInterface(asPoint(heard), asPoint(interpolateCurve(own, hz)), share, {
      ...around,
      words: computeWordNoise(share, around.words, { heard: 1, own: 1 }, hz),
    });
    return withResponse(cleared, response ? interpolateCurve(response, hz).value : 0);
  });
  return {
    ...curve,
    y: points.map(({ value }) => value),
    uncertainty: points.map(({ uncertainty }) => uncertainty),
  };
}

function asPoint(point: Reading): Reading {
  return point.uncertainty < boundDb ? point : { ...point, bound: "upper" };
}

function inDbu(curve: Curve, { fullScale }: InputCalibration): Curve {
  const up = (db: number) => db + fullScale.value;
  return {
    ...curve,
    y: curve.y.map(up),
    uncertainty: curve.uncertainty.map((u) => Math.hypot(u, fullScale.uncertainty)),
    yUnit: "dBu",
    ...(curve.floor ? { floor: curve.floor.map(up) } : {}),
  };
}

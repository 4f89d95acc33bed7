import { anyDeviation, type CauseKind, formatDb } from "../cause-kind.js";
import { getDeviation } from "../path-evidence.js";

/** A stage that passes nothing still lets a little through, by neighbours and stray capacitance. */
const deadDb = -30;
/** What is left is stray signal: its shape, noise and distortion follow no rule. */
const loose = [
  "hiss",
  "noiseA",
  "noise",
  "hum",
  "humOdd",
  "humEven",
  "noiseSlope",
  "thd",
  "thd100",
  "thdHot",
  "compression",
  "headroom",
  "linearity",
  "imd",
  "clicks",
  "instability",
  "dc",
  "polarity",
];

export const noSignal: CauseKind = {
  id: "no-signal",
  name: "no signal: dead stage or open connection",
  kind: "fault",
  prior: 0.05,
  confirmBy:
    "play the tone and follow it from socket to fader with a meter or headphone amplifier; press the ribbon and module connectors first",
  ready: "contact cleaner, a spare ribbon cable, op amps of the strip's kinds",
  confusedWith: [
    {
      cause: "nothing-patched",
      check:
        "patch a source that is heard for certain, and look whether the strip's own meter moves",
    },
  ],
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (path.unheard === undefined && (lost === undefined || lost > deadDb)) return undefined;
    const moves = Object.fromEntries(loose.map((id) => [id, anyDeviation]));
    const gain = lost ?? 0;
    const response = path.response;
    const evidence =
      path.unheard === undefined
        ? [`gain ${formatDb(gain)} against its siblings: stray signal only`]
        : [`no return in its capture: ${path.unheard}`];
    return {
      moves: { ...moves, gain: [gain, gain] },
      ...(response ? { response: (hz) => nearestOf(response, hz) } : {}),
      evidence,
    };
  },
};

function nearestOf(
  { x, y }: { readonly x: readonly number[]; readonly y: readonly number[] },
  hz: number,
) {
  const i = x.findIndex((at) => at >= hz);
  return y[i < 0 ? y.length - 1 : i];
}

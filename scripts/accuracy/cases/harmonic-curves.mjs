// The sweep through a crooked curve made of Chebyshev polynomials, which turn a cosine into its
// harmonics (M. Abramowitz, I. Stegun, 22.3.15), and behind it a pair of known filters: harmonic n of
// a fundamental f comes out as dₙ·|H(n·f)|/|H(f)|.
import { harmonicCurveKinds } from "../../../dist/measure/harmonic-curves.js";
import { createReturnContext } from "../../../dist/measure/return-context.js";
import { noiseSource } from "../noise.mjs";
import { curveOutcomes } from "../outcomes.mjs";
import { between, logBetween, sign } from "../random.mjs";
import { magnitude, nominal, playedSignal, tableOf, throughFilters } from "../render.mjs";

const sampleRate = 48_000;
const table = tableOf(["silence", "sweep"]);
const sweep = table.segments.find(({ kind }) => kind === "sweep");
const orders = [2, 3, 4, 5, 6, 7, 8, 9, 10];
/** A harmonic fades out between these: no converter folds back what it records. */
const fade = { fromHz: 21_500, toHz: 23_500 };
/** All harmonics count up to this fundamental. */
const allHz = 2000;

export function run(next) {
  const lines = orders.map(() => sign(next) * 10 ** (between(next, -100, -45) / 20));
  const filters = {
    gainDb: between(next, -10, 3),
    lowHz: logBetween(next, 1, 60),
    highHz: logBetween(next, 9000, 2e5),
  };
  const played = playedSignal(table, sampleRate, next);
  const { samples, origin, clock } = played;
  for (let i = 0; i < samples.length; i++) {
    const atS = (i - origin) / clock - sweep.startS;
    if (atS > 0 && atS < sweep.sweepS) samples[i] += harmonicsAt(samples[i], atS, lines);
  }
  throughFilters(samples, filters, clock);
  const noise = noiseSource({ rmsDbfs: between(next, -120, -85), share: 0 }, sampleRate, next);
  for (let i = 0; i < samples.length; i++) samples[i] += noise();
  const context = createReturnContext({ ...played, sampleRate, table, mainsHz: 50 });
  const curves = Object.fromEntries(
    harmonicCurveKinds
      .map(({ id, make }) => [id, make(context)])
      .filter(([, curve]) => typeof curve !== "string"),
  );
  const truth = (n, hz) =>
    20 * Math.log10((Math.abs(lines[n - 2]) * magnitude(filters, n * hz)) / magnitude(filters, hz));
  const all = (hz) =>
    hz > allHz
      ? undefined
      : 10 * Math.log10(orders.reduce((sum, n) => sum + 10 ** (truth(n, hz) / 10), 0));
  return [
    ...orders.flatMap((n) => {
      const curve = curves[`harmonic${n}`];
      return curve ? curveOutcomes(`harmonic${n} curve`, curve, (hz) => truth(n, hz)) : [];
    }),
    ...(curves.distortion ? curveOutcomes("distortion curve", curves.distortion, all) : []),
  ];
}

/** Σ dₙ·a·Tₙ(x/a) of a sweep of peak a, each harmonic only within the band. */
function harmonicsAt(x, atS, lines) {
  const hz = sweep.fromHz * Math.exp(atS / sweep.rateS);
  const u = x / nominal;
  let before = 1;
  let now = u;
  let sum = 0;
  lines.forEach((line, k) => {
    const after = 2 * u * now - before;
    before = now;
    now = after;
    sum += line * now * heldShare((k + 2) * hz);
  });
  // from nothing at the sweep's beginning, where its own fade would make offsets of the even ones
  const rise = Math.min(1, (hz / sweep.fromHz - 1) / 0.5);
  return nominal * sum * Math.sin((Math.PI / 2) * rise) ** 2;
}

function heldShare(hz) {
  const along = (hz - fade.fromHz) / (fade.toHz - fade.fromHz);
  return Math.cos((Math.PI / 2) * Math.min(1, Math.max(0, along))) ** 2;
}

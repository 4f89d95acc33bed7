import type { StageRole } from "../desk/stage-role.js";
import { getReadingId } from "../measure/reading-kinds.js";
import type { CauseKind, Prediction } from "./cause-kind.js";
import { curveStep, curveWeight, logStudentT4, selectFeatures } from "./likelihood.js";
import { bandFromHz, type OtherSide, type PathEvidence } from "./path-evidence.js";

/**
 * Where a cause is, relative to the pan: a fault upstream of it affects both sides of a stereo bus,
 * one downstream a single side, and the pan itself moves the two sides in opposite directions.
 */
type Seat = "before" | "behind" | "either" | "pan";

const fromPanOn: readonly StageRole[] = ["pan", "send", "routing"];

function seatOf({ kind, seat }: Pick<CauseKind, "kind" | "seat">): Seat {
  // Another path, or another file, differs on both sides.
  if (kind === "patch" || kind === "capture") return "before";
  if (seat === undefined) return "either";
  if (seat.every((role) => fromPanOn.includes(role))) return "behind";
  if (seat.includes("pan")) return "pan";
  return seat.some((role) => fromPanOn.includes(role)) ? "either" : "before";
}

/**
 * Share of faults that can be anywhere in a strip that are after the pan, where few parts are (a
 * guess).
 */
const behindShare = 0.2;
/** Share of such faults that are due to the pan rather than to the gain or the fader (a guess). */
const panShare = 0.4;
/** How often a pan off its mark lowers one side without raising the other (a guess). */
const oneSidedPan = 0.25;
/**
 * Both sides of one signal differ by this share of a deviation, because of pan and bus amplifiers.
 */
const alikeShare = 0.12;
/** The other side counts against causes by no more than this, nats. */
const leastNats = -60;
/** A level that is off by this many spreads was changed. */
const clearlyMoved = 3;

/** A cause with its prediction for this side. */
export interface SidedCause {
  readonly kind: Pick<CauseKind, "kind" | "seat">;
  readonly prediction: Prediction;
}

/**
 * How far the other side of a stereo bus supports causes that are present together, nats: each is
 * either before the pan, and then as strong on the other side, or after it, and then absent there.
 *
 * @param causes one or two; none for an unknown cause
 * @returns 0 if there is no other side, or if it has its own electronics
 * @example
 * computeSideNats({ features: new Map() }, []); // 0
 */
export function computeSideNats(path: PathEvidence, causes: readonly SidedCause[]): number {
  const { beside } = path;
  if (!beside) return 0;
  const places = causes.reduce(
    (all: readonly Place[], { kind }) =>
      all.flatMap(({ share, before }) =>
        placesOf(kind, isApart(path, beside)).map((one) => ({
          share: share * one.share,
          before: [...before, one.before],
        })),
      ),
    [{ share: 1, before: [] }],
  );
  const all = causes.length === 0 ? placesOfAny : places;
  const nats = all.map(
    ({ share, before }) => Math.log(share) + fitOther(path, beside, causes, before),
  );
  const most = Math.max(...nats);
  const total = most + Math.log(nats.reduce((sum, one) => sum + Math.exp(one - most), 0));
  return Math.max(total, leastNats);
}

/**
 * Which of the causes are before or after the pan, and how often; `apart` if the pan itself is the
 * cause.
 */
interface Place {
  readonly share: number;
  readonly before: readonly Standing[];
}
type Standing = "before" | "behind" | "apart";

const placesOfAny: readonly Place[] = [
  { share: 1 - behindShare, before: ["before"] },
  { share: behindShare, before: ["behind"] },
];

function placesOf(kind: SidedCause["kind"], apart: boolean) {
  const one = (share: number, before: Standing) => ({ share, before });
  return {
    before: [one(1, "before")],
    behind: [one(1, "behind")],
    either: [one(1 - behindShare, "before"), one(behindShare, "behind")],
    pan: [
      one(1 - panShare, "before"),
      apart ? one(panShare, "apart") : one(panShare * oneSidedPan, "behind"),
    ],
  }[seatOf(kind)];
}

/** Whether the level went up on one side and down on the other. */
function isApart(path: PathEvidence, beside: OtherSide): boolean {
  const here = path.features.get(getReadingId("gain"));
  const there = beside.features.get(getReadingId("gain"));
  if (!here || !there || Math.abs(there.deviation) < clearlyMoved * there.spread) return false;
  return Math.sign(here.deviation) === -Math.sign(there.deviation);
}

/** How well the other side fits, nats, relative to an exact match. */
function fitOther(
  path: PathEvidence,
  beside: OtherSide,
  causes: readonly SidedCause[],
  before: readonly Standing[],
): number {
  // If the level moves the other way, so do all readings that depend on it.
  const apart = before.includes("apart");
  const whole = before.every((one) => one === "before");
  let nats = 0;
  for (const [id, { deviation }] of selectFeatures(path)) {
    const there = beside.features.get(id);
    if (!there || apart) continue;
    let expected = whole ? deviation : 0;
    if (!whole) {
      let left = deviation;
      causes.forEach(({ prediction }, k) => {
        const [low, high] = prediction.moves[id] ?? [0, 0];
        const own = Math.max(low, Math.min(high, left));
        left -= own;
        if (before[k] === "before") expected += own;
      });
    }
    nats += tail(there.deviation - expected, there.spread, expected);
  }
  const { response } = path;
  if (!response || !beside.response) return nats;
  const { x, y, spread } = beside.response;
  const at = new Map(x.map((hz, i) => [hz, i]));
  let sum = 0;
  let count = 0;
  for (let i = 0; i < response.x.length; i += curveStep) {
    const hz = response.x[i];
    const k = at.get(hz);
    if (k === undefined || hz < bandFromHz) continue;
    const expected = whole
      ? response.y[i]
      : causes.reduce(
          (db, { prediction }, c) =>
            db + (before[c] === "before" ? (prediction.response?.(hz) ?? 0) : 0),
          0,
        );
    sum += tail(y[k] - expected, spread[k], expected);
    count++;
  }
  return count === 0 ? nats : nats + (curveWeight * sum) / count;
}

function tail(off: number, spread: number, expected: number): number {
  return logStudentT4(off / Math.hypot(spread, alikeShare * expected));
}

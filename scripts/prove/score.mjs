/** Rounds of virtual desks held against what was hidden in them: counts only, nothing is judged. */
import { exactAnswers, hideables, rightAnswers } from "./answers.mjs";

export const severities = ["service", "watch", "remark"];
/** Severities of what is hidden; `whole` where there are no degrees. */
export const bins = ["mild", "moderate", "strong", "whole"];
/** First cause of a path for which none was named. */
export const nothingNamed = "nothing";
/** A cause that says that no known cause fits: no claim, so neither right nor a fault called. */
const noClaim = "none-of-these";

/**
 * One path of a round beside the truth.
 *
 * @typedef {object} Judged
 * @property {number} seed
 * @property {string} path
 * @property {number} [draw] of what is hidden in the desk
 * @property {string} batches of the desk, as in its plan
 * @property {string | undefined} hidden name of `hideables`; undefined for a healthy path
 * @property {number | undefined} severity
 * @property {string | undefined} bin
 * @property {readonly string[]} right
 * @property {readonly string[]} exact those of them that are not merely like it
 * @property {"service" | "watch" | "remark" | undefined} worst of its findings
 * @property {readonly { cause: string, kind: string, probability?: number }[]} causes
 */

/**
 * @param {import("./draw.mjs").Plan} plan
 * @param {Pick<import("../../dist/history/types.js").Round, "paths">} round
 * @returns {readonly Judged[]} one for each path of the round
 */
export function judgeDesk(plan, round) {
  const { output = "capacitor" } = plan.options;
  return round.paths.map(({ path, input, findings, causes }) => {
    const hidden = plan.hidden.find((one) => one.path === path);
    return {
      seed: plan.seed,
      path,
      batches: plan.batches,
      hidden: hidden?.name,
      severity: hidden?.severity,
      bin: hidden && binOf(hidden.severity),
      right: hidden ? rightAnswers(hidden.name, { input, output }) : [],
      exact: hidden ? exactAnswers(hidden.name) : [],
      ...(hidden?.also ? alsoHidden(hidden.also, { input, output }) : {}),
      worst: severities.find((severity) => findings.some((f) => f.severity === severity)),
      causes: causes.map(({ cause, kind, probability }) => ({
        cause,
        kind,
        ...(probability === undefined ? {} : { probability }),
      })),
    };
  });
}

/**
 * Judged paths with each sound one of a desk once, however many draws it was sound in: as it came off
 * worst.
 *
 * @param {readonly Judged[]} judged paths of all desks and draws
 * @returns {readonly Judged[]}
 */
export function onceHealthy(judged) {
  const gravity = ({ worst }) =>
    worst === undefined ? severities.length : severities.indexOf(worst);
  const healthy = new Map();
  for (const one of judged) {
    if (one.hidden !== undefined) continue;
    const key = `${one.seed} ${one.path}`;
    const known = healthy.get(key);
    if (known === undefined || gravity(one) < gravity(known)) healthy.set(key, one);
  }
  return judged.filter(
    (one) => one.hidden !== undefined || healthy.get(`${one.seed} ${one.path}`) === one,
  );
}

/** The second of two on a strip: either may be named first. */
function alsoHidden(also, where) {
  return { also, rightToo: rightAnswers(also, where), exactToo: exactAnswers(also) };
}

/** Mild below a third, strong from two thirds on. */
export function binOf(severity) {
  if (severity === undefined) return "whole";
  if (severity < 1 / 3) return "mild";
  return severity < 2 / 3 ? "moderate" : "strong";
}

/**
 * All figures of a run.
 *
 * @param {readonly Judged[]} judged paths of all desks
 */
export function score(judged) {
  const hidden = judged.filter((one) => one.hidden !== undefined);
  const healthy = judged.filter((one) => one.hidden === undefined);
  const harmless = hidden.filter((one) => hideables[one.hidden].kind !== "fault");
  const faulty = hidden.filter((one) => hideables[one.hidden].kind === "fault");
  return {
    paths: judged.length,
    hidden: hidden.length,
    healthy: healthy.length,
    confusion: confusion(hidden),
    accuracy: accuracy(hidden),
    falseAlarms: falseAlarms(healthy),
    falseAlarmsByBatches: grouped(healthy, (one) => one.batches, falseAlarms),
    harmlessCalledFaults: {
      of: harmless.length,
      paths: harmless.filter((one) => called(one, "fault") && !isRight(one)).map(brief),
    },
    faultsCalledHarmless: {
      of: faulty.length,
      paths: faulty
        .filter((one) => (called(one, "setting") || called(one, "patch")) && !isRight(one))
        .map(brief),
    },
    missed: {
      of: hidden.length,
      paths: hidden.filter(({ worst }) => worst === undefined || worst === "remark").map(brief),
    },
    reliability: reliability(judged),
    both: both(hidden.filter(({ also }) => also !== undefined)),
  };
}

const first = ({ causes }) => causes[0]?.cause ?? nothingNamed;
const isRight = (one) => [...one.right, ...(one.rightToo ?? [])].includes(first(one));

/** Whether one of these is among the first three causes named. */
export const isAmong = ({ causes }, right) =>
  causes.slice(0, 3).some(({ cause }) => right.includes(cause));

/** Of a strip with two faults: whether both are. */
export const areBothAmong = (one) => isAmong(one, one.right) && isAmong(one, one.rightToo);

/**
 * Of strips with two faults: both among the first three, either of them; and how many are left where
 * each would be found alone, as far as that was tried.
 */
function both(list) {
  return {
    of: list.length,
    both: list.filter(areBothAmong).length,
    either: list.filter((one) => isAmong(one, one.right) || isAmong(one, one.rightToo)).length,
    findable: list.filter(({ findable = true }) => findable).length,
  };
}
const called = ({ causes }, kind) => causes[0]?.kind === kind && causes[0].cause !== noClaim;

function brief(one) {
  const { seed, path, hidden, severity, bin } = one;
  return { seed, path, hidden, severity, bin, first: first(one) };
}

/** Hidden cause to first cause to paths, and how many of them that is right for. */
function confusion(hidden) {
  const cell = (list) => ({ of: list.length, right: list.filter(isRight).length });
  return grouped(
    hidden,
    (one) => one.hidden,
    (list) => grouped(list, first, cell),
  );
}

/** How many paths, and of how many the first cause, or one of the first three, is right. */
function hits(list) {
  const among = (count) =>
    list.filter((one) =>
      one.causes
        .slice(0, count)
        .some(({ cause }) => [...one.right, ...(one.rightToo ?? [])].includes(cause)),
    );
  return { of: list.length, first: among(1).length, topThree: among(3).length };
}

/** By hidden cause, by kind and together, each by severity bin with `all` for their sum. */
function accuracy(hidden) {
  const row = (list) => ({ ...grouped(list, (one) => one.bin, hits), all: hits(list) });
  return {
    causes: grouped(hidden, (one) => one.hidden, row),
    kinds: grouped(hidden, (one) => hideables[one.hidden].kind, row),
    all: row(hidden),
  };
}

/** Healthy paths by their worst finding, and those for which a cause was named. */
function falseAlarms(healthy) {
  const count = (severity) => healthy.filter(({ worst }) => worst === severity).length;
  return {
    of: healthy.length,
    ...Object.fromEntries(severities.map((severity) => [severity, count(severity)])),
    calledFaults: healthy.filter((one) => called(one, "fault")).length,
  };
}

/**
 * Stated probabilities in tenths against how often the cause was what was hidden; empty where none
 * state one. Of two that cannot be told apart only one is there, so only one counts.
 */
function reliability(judged) {
  const stated = judged.flatMap(({ causes, exact, exactToo = [] }) =>
    causes.flatMap(({ cause, probability }) =>
      probability === undefined || cause === noClaim
        ? []
        : [{ probability, right: [...exact, ...exactToo].includes(cause) }],
    ),
  );
  return Array.from({ length: 10 }, (_, tenth) => {
    const list = stated.filter((one) => Math.min(9, Math.floor(10 * one.probability)) === tenth);
    const sum = list.reduce((total, one) => total + one.probability, 0);
    return {
      from: tenth / 10,
      to: (tenth + 1) / 10,
      of: list.length,
      right: list.filter((one) => one.right).length,
      ...(list.length > 0 ? { meanProbability: sum / list.length } : {}),
    };
  }).filter(({ of }) => of > 0);
}

function grouped(list, keyOf, figure) {
  const groups = new Map();
  for (const one of list) groups.set(keyOf(one), [...(groups.get(keyOf(one)) ?? []), one]);
  const keys = [...groups.keys()].sort();
  return Object.fromEntries(keys.map((key) => [key, figure(groups.get(key))]));
}

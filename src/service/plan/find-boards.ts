import { classifyStage, type StageRole } from "../../desk/stage-role.js";
import type { StripDownBoard, StripDownBook } from "../../desk/strip-down/types.js";
import type { Desk } from "../../desk/types.js";
import { findCause } from "../../diagnose/causes.js";
import { listSuspectStages } from "../../diagnose/locate-faults.js";
import type { Control } from "../../diagnose/note-vocabulary.js";
import { findControl } from "../../diagnose/notes/read-by-rules.js";
import type { Round } from "../../history/types.js";
import { isDangerCause } from "./danger-guide.js";
import { getControlOfCause } from "./from-controls.js";
import type { ItemBoards, PlanItem } from "./types.js";

/** Stage with the circuit of a control (common practice, no source). */
const controlRoles: Readonly<Partial<Record<Control, readonly StageRole[]>>> = {
  gain: ["input stage"],
  pad: ["input stage"],
  phantom: ["socket", "input stage"],
  polarity: ["input stage"],
  "low-cut": ["low-cut"],
  equaliser: ["equaliser"],
  insert: ["insert"],
  send: ["send"],
  pan: ["pan"],
  fader: ["fader"],
  mute: ["mute", "fader"],
  routing: ["routing"],
  "input-switch": ["input switch"],
  meter: ["meter"],
  lamp: ["meter"],
  socket: ["socket"],
};

type Placed = Pick<PlanItem, "strip" | "inputs" | "cause" | "paths">;

/**
 * The boards on which an item's cause can be: cause to stage, stage to board. The stages are those
 * that the round leaves open, or all that its inputs pass, limited to those that can have the
 * cause. A control is on the board that the book gives.
 *
 * @returns the boards in signal order; all of the strip's if they cannot be distinguished, and none
 * for a lamp or meter that the book does not place
 */
export function findItemBoards(
  item: Placed,
  desk: Desk,
  book: StripDownBook,
  round: Round | undefined,
): ItemBoards {
  const own = book.boards.filter(({ strips }) => strips.includes(item.strip));
  const control = getControlOfCause(item.cause);
  const bearers = own.filter(({ controls }) =>
    controls.some((name) => control !== undefined && isSameControl(name, control)),
  );
  if (bearers.length > 0) return { names: bearers.map(({ name }) => name), stages: [] };
  const stages = listStages(item, control, desk, round);
  const found = stages.flatMap((stage) => own.filter((board) => board.stages.includes(stage)));
  const names = [...new Set(found.map(({ name }) => name))];
  if (names.length === 0) {
    return {
      names: isBesideSignal(item.cause, control) ? [] : own.map(({ name }) => name),
      stages: [],
    };
  }
  return { names, stages: stages.filter((stage) => own.some((one) => one.stages.includes(stage))) };
}

function isSameControl(name: string, control: string): boolean {
  const [one, other] = [name, control].map((text) => text.toLowerCase().replace(/[\s-]+/g, " "));
  if (one === other) return true;
  const kind = findControl(one);
  return (
    kind !== undefined && kind === findControl(other) && isPlainName(one) && isPlainName(other)
  );
}

/** `eq high` is one of several, `equaliser` is not. */
function isPlainName(name: string): boolean {
  return !/\b(high|low|mid|hi|lo|\d+)\b/.test(name) || /low.?cut|high.?pass/.test(name);
}

/** Whether it is a lamp or meter: the signal flow does not show its board. */
function isBesideSignal(cause: string, control: string | undefined): boolean {
  const roles = listRoles(cause, control) ?? [];
  return roles.length > 0 && roles.every((role) => role === "meter");
}

/** Roles of stages that can have a control or a cause. */
function listRoles(cause: string, control: string | undefined): readonly StageRole[] | undefined {
  const word = control === undefined ? undefined : findControl(control);
  return (word && controlRoles[word]) ?? findCause(cause)?.seat;
}

function listStages(
  { strip, inputs, cause, paths }: Placed,
  control: string | undefined,
  desk: Desk,
  round: Round | undefined,
): readonly string[] {
  const { stages: flow } = desk.flow;
  const passed = (inputs.length === 0 ? Object.keys(flow) : inputs).flatMap(
    (input) => flow[input] ?? [],
  );
  const depth = (stage: string) =>
    Math.min(
      ...Object.values(flow).flatMap((own) => own.flatMap((one, k) => (one === stage ? [k] : []))),
    );
  const all = [...new Set(passed)].sort((a, b) => depth(a) - depth(b));
  // A danger can be on any board.
  if (isDangerCause(cause)) return all;
  const suspects = new Set(suspectsOf(strip, paths, desk, round));
  const left = suspects.size === 0 ? all : all.filter((stage) => suspects.has(stage));
  const roles = listRoles(cause, control);
  if (roles === undefined) return left;
  const seated = (stages: readonly string[]) =>
    stages.filter((stage) => classifyStage(stage).some((role) => roles.includes(role)));
  const narrow = seated(left);
  if (narrow.length > 0) return narrow;
  return seated(all).length > 0 ? seated(all) : isBesideSignal(cause, control) ? [] : left;
}

function suspectsOf(
  strip: string,
  paths: readonly string[],
  desk: Desk,
  round: Round | undefined,
): readonly string[] {
  if (round === undefined) return [];
  const placed = round.paths
    .filter((path) => path.strip === strip)
    .map((path) => ({ ...path, judged: path.status === "measured" }));
  return placed
    .filter(({ path }) => paths.includes(path))
    .flatMap((path) => listSuspectStages(path, placed, desk.flow));
}

/**
 * The boards that must come out of a strip to reach some boards, in order of removal.
 *
 * @example
 * // With `main board` after `mic board`: listOutOrder(["main board"], boards) begins with the mic board.
 */
export function listOutOrder(
  wanted: readonly string[],
  boards: readonly StripDownBoard[],
): readonly StripDownBoard[] {
  const byName = new Map(boards.map((board) => [board.name, board]));
  const order: StripDownBoard[] = [];
  const add = (name: string): void => {
    const board = byName.get(name);
    if (board === undefined || order.includes(board)) return;
    for (const earlier of board.after) add(earlier);
    order.push(board);
  };
  for (const name of wanted) add(name);
  return order;
}

import { isDeepStrictEqual } from "node:util";
import type { ItemName } from "./plan-data.js";
import { isPartCause } from "./repair-guides.js";
import type { PlanItem } from "./types.js";

/**
 * Share of a job's minutes for each further part: the board is out already (common practice, no
 * source).
 */
const furtherShare = 0.5;

/**
 * Merges the parts of a strip measured out of tolerance into one job, if they are on the same
 * boards or, without a strip-down book, on the same inputs, and the work is the same.
 *
 * @param items of all strips, with their boards if known
 *
 * @returns the same in order; a merged job has the position of its first part
 */
export function mergeParts(items: readonly PlanItem[]): readonly PlanItem[] {
  const jobs: PlanItem[][] = [];
  for (const item of items) {
    const job = jobs.find(([first]) => isSameJob(first, item));
    if (job === undefined) jobs.push([item]);
    else job.push(item);
  }
  return jobs.map((job) => (job.length === 1 ? job[0] : joinParts(job)));
}

function isSameJob(a: PlanItem, b: PlanItem): boolean {
  if (a.strip !== b.strip || !isPartCause(a.cause) || !isPartCause(b.cause)) return false;
  const isSamePlace =
    a.boards === undefined || b.boards === undefined
      ? isDeepStrictEqual(a.inputs, b.inputs)
      : isDeepStrictEqual(a.boards.names, b.boards.names);
  return isSamePlace && a.replace === b.replace && isDeepStrictEqual(a.steps, b.steps);
}

function joinParts(job: readonly PlanItem[]): PlanItem {
  const [first] = job;
  const of = <T>(list: (item: PlanItem) => readonly T[]) => [...new Set(job.flatMap(list))];
  const cause = job.map((item) => item.cause).join(" ");
  const namedParts = job.flatMap((item) => item.namedParts ?? []);
  const isOfStrip = job.some(({ inputs }) => inputs.length === 0);
  return {
    ...first,
    key: job.map((item, k) => (k === 0 ? item.key : item.cause)).join(" "),
    cause,
    name: nameParts(job.map(({ name }) => name)),
    inputs: isOfStrip ? [] : of(({ inputs }) => inputs),
    worth: job.reduce((sum, { worth }) => sum + worth, 0),
    minutes: Math.ceil(first.minutes * (1 + furtherShare * (job.length - 1))),
    says: job.flatMap(({ says }) => says),
    parts: job.flatMap(({ parts }) => parts),
    named: job.flatMap(({ named }) => named),
    ...(namedParts.length === 0 ? {} : { namedParts }),
    paths: of(({ paths }) => paths),
    notes: of(({ notes }) => notes),
  };
}

function nameParts(names: readonly ItemName[]): ItemName {
  const parts = names.flatMap((name) => (name.code === "off-value" ? name.parts : []));
  return { code: "off-value", parts };
}

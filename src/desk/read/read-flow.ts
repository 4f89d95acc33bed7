import { buildDefaultFlow } from "../flow.js";
import { normalizeName } from "../names.js";
import type { DeskText } from "../schema.js";
import type { DeskFlow, SharedStrips } from "../types.js";
import { didYouMean } from "./did-you-mean.js";
import type { DeskFileIssue } from "./fault.js";
import { longestName, readLine } from "./read-line.js";
import { pickStrips } from "./read-strips.js";

/** Reads stages and shared parts; default stages if the file gives none. */
export function readFlow(
  { stages, shared }: DeskText["flow"],
  inputs: readonly string[],
  strips: readonly string[],
  faults: DeskFileIssue[],
): DeskFlow {
  const usual = buildDefaultFlow(inputs);
  const written = Object.entries(stages).map(([name, list]) => {
    const place = ["flow", "stages", name];
    const input = inputs.find((one) => normalizeName(one) === normalizeName(name.normalize("NFC")));
    if (input === undefined) {
      const hint = didYouMean(name, inputs) ?? `Its inputs: ${inputs.join(", ")}.`;
      faults.push({ place, at: "key", message: `the desk has no input ${name}.`, hint });
    }
    const names = list.map((stage, i) => readLine(stage, longestName, [...place, i], faults));
    return [input ?? name, names] as const;
  });
  const left = inputs.filter((input) => written.every(([name]) => name !== input));
  const strangers = written.some(([name]) => !inputs.includes(name));
  if (written.length > 0 && left.length > 0 && !strangers) {
    const message = `"stages" leaves out ${left.join(", ")}.`;
    const hint = "Give the stages of every input, so that shared stages are known.";
    faults.push({ place: ["flow", "stages"], at: "key", message, hint });
  }
  const parts = Object.entries(shared).map(([name, { kind, strips: list }]): SharedStrips => {
    const place = ["flow", "shared", name];
    const part = readLine(name, longestName, place, faults);
    const own = new Set(pickStrips(list, strips, place, faults));
    // A strip named twice would count twice.
    const known = strips.filter((strip) => own.has(strip));
    return { name: part, strips: known, ...(kind === undefined ? {} : { kind }) };
  });
  return { stages: { ...usual.stages, ...Object.fromEntries(written) }, shared: parts };
}

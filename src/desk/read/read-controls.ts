import {
  defaultControls,
  maxControls,
  maxSettingLength,
  validateControlName,
} from "../controls.js";
import { normalizeName } from "../names.js";
import type { DeskText } from "../schema.js";
import type { DeskControl } from "../types.js";
import { didYouMean } from "./did-you-mean.js";
import type { DeskFileIssue, Place } from "./fault.js";
import { readLine } from "./read-line.js";

/** Reads the inputs that a control acts on. */
function readInputsOf(
  written: readonly string[] | undefined,
  control: string,
  inputs: readonly string[],
  faults: DeskFileIssue[],
): Pick<DeskControl, "inputs"> {
  if (written === undefined) return {};
  const place = ["controls", control, "inputs"];
  const own = written.flatMap((name, k) => {
    const found = inputs.find((one) => normalizeName(one) === normalizeName(name));
    if (found !== undefined) return [found];
    const message = `the desk has no input ${name}.`;
    const hint = didYouMean(name, inputs) ?? `Its inputs: ${inputs.join(", ")}.`;
    faults.push({ place: [...place, k], at: "value", message, hint });
    return [];
  });
  return { inputs: own };
}

/** Reads the controls of a strip; the default ones if the file names none. */
export function readControls(
  written: DeskText["controls"],
  inputs: readonly string[],
  faults: DeskFileIssue[],
): readonly DeskControl[] {
  if (written === undefined) return defaultControls;
  const controls = Object.entries(written).map(([name, one]): DeskControl => {
    const place = ["controls", name];
    const fault = validateControlName(name);
    if (fault !== undefined) faults.push({ place, at: "key", message: `"${name}": ${fault}.` });
    if (typeof one === "string") return { name, kind: one };
    const set =
      one.set === undefined ? {} : { set: readSetting(one.set, [...place, "set"], faults) };
    return { name, kind: one.kind, ...set, ...readInputsOf(one.inputs, name, inputs, faults) };
  });
  controls.forEach(({ name }, i) => {
    const earlier = controls
      .slice(0, i)
      .find((other) => normalizeName(other.name) === normalizeName(name));
    if (earlier === undefined) return;
    const message = `controls ${earlier.name} and ${name} differ only in capitals.`;
    faults.push({ place: ["controls", name], at: "key", message });
  });
  if (controls.length === 0) {
    const hint = "Leave the key out for the default ones.";
    faults.push({ place: ["controls"], at: "value", message: '"controls" names none.', hint });
  }
  if (controls.length > maxControls) {
    const message = `${controls.length} controls are more than the ${maxControls} allowed.`;
    faults.push({ place: ["controls"], at: "value", message });
  }
  return controls;
}

/** Reads the setting of a control, as written in the file. */
export function readSetting(words: string, place: Place, faults: DeskFileIssue[]): string {
  const line = readLine(words, maxSettingLength, place, faults);
  if (line === "") {
    faults.push({ place, at: "value", message: `"${String(place.at(-1))}" is left empty.` });
  }
  return line;
}

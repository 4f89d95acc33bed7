import {
  defaultControls,
  maxControls,
  maxSettingLength,
  validateControlName,
} from "../controls.js";
import { normalizeName } from "../names.js";
import type { DeskText } from "../schema.js";
import type { DeskControl } from "../types.js";
import type { Fault, Place } from "./fault.js";
import { readLine } from "./read-line.js";

/** The controls of a strip; the usual ones where the file names none. */
export function readControls(
  written: DeskText["controls"],
  faults: Fault[],
): readonly DeskControl[] {
  if (written === undefined) return defaultControls;
  const controls = Object.entries(written).map(([name, one]): DeskControl => {
    const place = ["controls", name];
    const fault = validateControlName(name);
    if (fault !== undefined) faults.push({ place, at: "key", message: `"${name}": ${fault}.` });
    if (typeof one === "string") return { name, kind: one };
    if (one.set === undefined) return { name, kind: one.kind };
    return { name, kind: one.kind, set: readSetting(one.set, [...place, "set"], faults) };
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
    const hint = "Leave the key out for the usual ones.";
    faults.push({ place: ["controls"], at: "value", message: '"controls" names none.', hint });
  }
  if (controls.length > maxControls) {
    const message = `${controls.length} controls are more than the ${maxControls} allowed.`;
    faults.push({ place: ["controls"], at: "value", message });
  }
  return controls;
}

/** What a control is set to, in the words of the file. */
export function readSetting(words: string, place: Place, faults: Fault[]): string {
  const line = readLine(words, maxSettingLength, place, faults);
  if (line === "") {
    faults.push({ place, at: "value", message: `"${String(place.at(-1))}" is left empty.` });
  }
  return line;
}

import { normalizeName } from "../names.js";
import type { DeskText } from "../schema.js";
import type { DeskControl, DeskInput } from "../types.js";
import { didYouMean } from "./did-you-mean.js";
import type { DeskFileIssue } from "./fault.js";
import { readSetting } from "./read-controls.js";
import { checkName, longestPlug, longestSetup, readLine } from "./read-line.js";
import { pickStrips } from "./read-strips.js";

/** An input with the strips that have it, if the file names them. */
export type WrittenInput = DeskInput & { readonly strips?: readonly string[] };

/** Reads the inputs, each with the strips that have it if the file names them. */
export function readInputs(
  written: DeskText["inputs"],
  strips: readonly string[],
  controls: readonly DeskControl[],
  faults: DeskFileIssue[],
): readonly WrittenInput[] {
  const inputs = Object.entries(written).map(([input, one]) => {
    const { nominal, setup, source, strips: some, set, plug, pad } = one;
    const place = ["inputs", input];
    checkName(place, faults);
    const own =
      some === undefined ? {} : { strips: pickStrips(some, strips, [...place, "strips"], faults) };
    return {
      name: input.normalize("NFC"),
      nominalDbu: nominal,
      setup: readLine(setup, longestSetup, [...place, "setup"], faults),
      ...(source === undefined ? {} : { sourceOhm: source }),
      ...(plug === undefined
        ? {}
        : { plug: readLine(plug, longestPlug, [...place, "plug"], faults) }),
      ...(pad === undefined ? {} : { padDb: pad }),
      set: readInputSettings(set, controls, place, faults),
      ...own,
    };
  });
  inputs.forEach(({ name: input }, i) => {
    const earlier = inputs
      .slice(0, i)
      .find((other) => normalizeName(other.name) === normalizeName(input));
    if (earlier === undefined) return;
    const message = `inputs ${earlier.name} and ${input} differ only in capitals.`;
    faults.push({ place: ["inputs", input], at: "key", message });
  });
  if (inputs.length === 0) {
    faults.push({ place: ["inputs"], at: "value", message: `"inputs" names no input.` });
  }
  return inputs;
}

/** Reads an input's settings, by the controls' exact names. */
function readInputSettings(
  written: Readonly<Record<string, string>>,
  controls: readonly DeskControl[],
  input: readonly string[],
  faults: DeskFileIssue[],
): Readonly<Record<string, string>> {
  const names = controls.map(({ name }) => name);
  const settings = Object.entries(written).map(([name, words]) => {
    const place = [...input, "set", name];
    const known = names.find((one) => normalizeName(one) === normalizeName(name));
    if (known === undefined) {
      const hint = didYouMean(name, names) ?? `Its controls: ${names.join(", ")}.`;
      faults.push({ place, at: "key", message: `a strip has no control "${name}".`, hint });
    }
    return [known ?? name, readSetting(words, place, faults)] as const;
  });
  return Object.fromEntries(settings);
}

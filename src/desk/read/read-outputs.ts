import type { DeskOutput } from "../outputs.js";
import { expandBusName, expandPaths, mostPassOutputs, parseOutputList } from "../outputs.js";
import type { DeskText } from "../schema.js";
import { listSplitterFaults, micBelowDbu, type Splitter, usualOutputOhm } from "../splitter.js";
import type { DeskInput, DeskPath } from "../types.js";
import type { DeskFileIssue } from "./fault.js";
import { longestName, readLine } from "./read-line.js";

type PaddedInput = DeskInput & { readonly padDb: number };
type WrittenOutputs = NonNullable<DeskText["outputs"]>;
type WrittenSplit = Exclude<Extract<WrittenOutputs, readonly unknown[]>[number], string>;

/**
 * Reads what each output of the interface is connected to.
 *
 * @param inputs with their pads
 */
export function readOutputs(
  written: WrittenOutputs,
  paths: readonly DeskPath[],
  inputs: readonly PaddedInput[],
  faults: DeskFileIssue[],
): readonly DeskOutput[] {
  const place = ["outputs"];
  const tell = (item: number | undefined, message: string, hint?: string) =>
    faults.push({
      place: item === undefined ? place : [...place, item],
      at: "value",
      message,
      ...(hint === undefined ? {} : { hint }),
    });
  const outputs: DeskOutput[] = [];
  if (typeof written === "number") {
    outputs.push(...Array.from({ length: written }, () => ({ use: "hand" }) as const));
  } else {
    const items = typeof written === "string" ? written.split(",") : written;
    items.forEach((item, k) => {
      const at = typeof written === "string" ? undefined : k;
      if (typeof item !== "string") {
        const split = readSplit(item, paths, inputs, (message, hint) => tell(at, message, hint));
        if (split !== undefined) outputs.push(split);
        return;
      }
      const list = parseOutputList([item], paths);
      for (const { fault } of list.faults) tell(at, `${fault}.`);
      outputs.push(...list.outputs);
      tellOfPhantom(list.outputs, inputs, (message, hint) => tell(at, message, hint));
    });
  }
  if (outputs.length > mostPassOutputs) {
    tell(
      undefined,
      `${outputs.length} outputs are more than the ${mostPassOutputs} whose markers can be told apart.`,
      `Name the first ${mostPassOutputs} of them.`,
    );
  }
  const fed = outputs.flatMap((one, k) => fedBy(one).map((path) => ({ path, output: k + 1 })));
  const seen = new Map<string, number>();
  for (const { path, output } of fed) {
    const first = seen.get(path);
    if (first !== undefined) {
      tell(
        undefined,
        `outputs ${first} and ${output} are both wired to ${path}: they would be joined there.`,
        "Two outputs on one input drive each other: wire one of them elsewhere, or write hand or none for it.",
      );
    } else seen.set(path, output);
  }
  if (outputs.length > 0 && outputs.every(({ use }) => use === "none")) {
    tell(undefined, `"outputs" names no output that is used.`);
  }
  return outputs;
}

/**
 * Warns of a microphone input permanently wired to the interface: if its phantom power is switched
 * on, it reaches the interface's output. A pad does not block it.
 */
function tellOfPhantom(
  outputs: readonly DeskOutput[],
  inputs: readonly DeskInput[],
  tell: (message: string, hint?: string) => void,
): void {
  const wired = outputs.find(
    (one) =>
      one.use === "wired" &&
      inputs.some(
        ({ name, nominalDbu }) => one.path.endsWith(`/${name}`) && nominalDbu < micBelowDbu,
      ),
  );
  if (wired?.use !== "wired") return;
  tell(
    `${wired.path} is a microphone input: phantom power switched on there would reach the interface that stays wired to it.`,
    `It can destroy the interface. Patch it by hand with phantom power off, or put a transformer or capacitors between and write { split: ${wired.path}, leg: 10000, source: 150, blocks-phantom: true }.`,
  );
}

/** The paths that an output feeds permanently. */
function fedBy(output: DeskOutput): readonly string[] {
  if (output.use === "wired") return [output.path];
  return output.use === "split" ? output.paths : [];
}

/**
 * dB; allowed difference between the pad that an input needs and a leg's attenuation: resistors
 * come in steps.
 */
const mostPadOffDb = 0.5;

function readSplit(
  written: WrittenSplit,
  paths: readonly DeskPath[],
  inputs: readonly PaddedInput[],
  tell: (message: string, hint?: string) => void,
): DeskOutput | undefined {
  const found = expandPaths(written.split, paths);
  if (typeof found === "string") {
    tell(`${found}.`);
    return undefined;
  }
  const splitter: Splitter = {
    padDb: written.pad,
    legOhm: written.leg,
    sourceOhm: written.source,
    outputOhm: written.output ?? usualOutputOhm,
    blocksDc: written["blocks-phantom"],
  };
  const input = inputs.find(({ name }) => found[0]?.endsWith(`/${name}`));
  if (input !== undefined) {
    for (const { message, hint } of listSplitterFaults(splitter, found.length, input)) {
      tell(message, hint);
    }
    const { padDb } = input;
    if (Math.abs(padDb - splitter.padDb) > mostPadOffDb) {
      tell(
        `input ${input.name} needs a pad of ${padDb} dB to get ${input.nominalDbu} dBu, but each leg of the splitter attenuates by ${splitter.padDb} dB.`,
        "The level at the socket follows from it: use legs with that attenuation, or write the input's nominal level or pad as they really are.",
      );
    }
  }
  return { use: "split", paths: found, splitter };
}

/** Reads the buses that strips can be routed to, one per channel of the recorder. */
export function readBuses(
  written: readonly string[] | string,
  faults: DeskFileIssue[],
): readonly string[] {
  const place = ["buses"];
  const items = typeof written === "string" ? written.split(",") : written;
  const buses = items.flatMap((item) => expandBusName(item));
  const names = buses.map((bus) => readLine(bus, longestName, place, faults));
  const twice = names.find((name, k) => names.indexOf(name) !== k);
  if (twice !== undefined) {
    faults.push({ place, at: "value", message: `bus ${twice} is there twice.` });
  }
  if (names.some((name) => name === "")) {
    faults.push({ place, at: "value", message: "a bus without a name." });
  }
  return names;
}

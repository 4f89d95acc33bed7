import { amplifiesMore } from "../../desk/unlike-gains.js";
import type { Doubt } from "../../doubt.js";
import { median } from "../../dsp/robust.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { groupBy } from "../../text/group-by.js";
import type { RoundPath } from "../types.js";

/** An input and the level that it is fed with. */
export interface FedInput {
  readonly name: string;
  /** At its socket, dBu. */
  readonly nominalDbu: number;
}

/** The two are exchanged if the other is noisier by this much on nearly all strips, decibels. */
const quieterDb = 6;
const nearlyAll = 0.8;
const leastPaths = 3;

/**
 * Two inputs that were mistaken for each other, as a first round can show: an input fed at
 * microphone level has far more gain than one fed at line level, so it cannot be the quieter one.
 *
 * @param played paths in the order of recording, with their files
 */
export function findExchangedInputs(
  inputs: readonly FedInput[],
  paths: readonly RoundPath[],
  played: readonly { readonly path: string; readonly file: string }[],
): readonly Doubt[] {
  const hiss = getReadingId("hiss");
  const told = new Set(played.map(({ path }) => path));
  const measured = paths.filter(({ path, readings }) => told.has(path) && readings[hiss]);
  const byInput = groupBy(measured, ({ input }) => input);
  const hissOf = (path: RoundPath) => path.readings[hiss]?.value ?? 0;
  for (const low of inputs) {
    for (const high of inputs) {
      if (!amplifiesMore(low.nominalDbu, high.nominalDbu)) continue;
      const [a, b] = [byInput.get(low.name) ?? [], byInput.get(high.name) ?? []];
      if (a.length < leastPaths || b.length < leastPaths) continue;
      const [ofLow, ofHigh] = [a, b].map((own) => median(own.map(hissOf)));
      const louder = b.filter((one) => hissOf(one) > ofLow).length;
      if (ofHigh - ofLow < quieterDb || louder < nearlyAll * b.length) continue;
      return [toDoubt([low.name, high.name], a, b, played)];
    }
  }
  return [];
}

function toDoubt(
  inputs: readonly [string, string],
  a: readonly RoundPath[],
  b: readonly RoundPath[],
  played: readonly { readonly path: string; readonly file: string }[],
): Doubt {
  const affected = a.length + b.length;
  const files = [...new Set(played.map(({ file }) => file))];
  const filesOf = (own: readonly RoundPath[]) => {
    const names = new Set(own.map(({ path }) => path));
    return new Set(played.flatMap(({ path, file }) => (names.has(path) ? [file] : [])));
  };
  const [ofA, ofB] = [filesOf(a), filesOf(b)];
  const isOneEach = files.length === 2 && ofA.size === 1 && ofB.size === 1;
  return isOneEach && [...ofA][0] !== [...ofB][0]
    ? { code: "files-exchanged", files, likelier: [...files].reverse(), affected }
    : { code: "inputs-exchanged", inputs, affected };
}

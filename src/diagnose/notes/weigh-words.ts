import type { SectionKind } from "../../desk/section-kinds.js";
import { type DangerId, dangerKinds } from "../dangers.js";
import { type Control, controls, type Symptom, symptoms } from "../note-vocabulary.js";
import { listContexts } from "./list-contexts.js";
import { listFeatures } from "./list-features.js";
import { listPlaceWords } from "./list-place-words.js";
import { readData } from "./read-data.js";

/** Questions about a note and their possible answers; undefined is "none of them". */
const classes = {
  symptom: [undefined, ...symptoms],
  control: [undefined, ...controls],
  danger: [undefined, ...dangerKinds.map(({ id }) => id)],
} as const;

type Question = keyof typeof classes;
type Answer<Q extends Question> = Q extends "symptom"
  ? Symptom | undefined
  : Q extends "control"
    ? Control | undefined
    : DangerId | undefined;

/** Weights of each word for each class, loaded with the first note. */
type Table = ReadonlyMap<string, readonly (readonly [at: number, weight: number])[]>;
let tables: Readonly<Record<Question, Table>> | undefined;

/** Made by `scripts/notes/train.mjs`. */
function readTables(): Readonly<Record<Question, Table>> {
  const packed = JSON.parse(readData("note-words.json")) as Record<Question, string>;
  return {
    symptom: readTable(packed.symptom),
    control: readTable(packed.control),
    danger: readTable(packed.danger),
  };
}

function readTable(packed: string): Table {
  return new Map(
    packed.split("\n").map((line) => {
      const [word, cells] = line.split("\t");
      const pairs = cells.match(/../gs) ?? [];
      return [
        word,
        pairs.map((two) => [two.charCodeAt(0) - 97, (two.charCodeAt(1) - 80) / 10] as const),
      ] as const;
    }),
  );
}

/**
 * How likely each answer is by the words alone: a multinomial logistic regression that
 * `scripts/notes/train.mjs` learned from labelled notes. Weights of known words add up, whatever
 * the sentence.
 *
 * @param note what `normalizeNote` returns
 * @param kind of the part of the desk that it is about; undefined for a strip; not used for a
 *   danger
 * @returns natural logarithms of the probabilities, which add up to 1
 * @example
 * const found = weighWords("symptom", "like frying bacon");
 * found.get("crackle") > found.get("hum"); // true
 */
export function weighWords<Q extends Question>(
  question: Q,
  note: string,
  kind?: SectionKind,
): ReadonlyMap<Answer<Q>, number> {
  tables ??= readTables();
  const table = tables[question];
  const sums = classes[question].map(() => 0);
  for (const [at, weight] of table.get("") ?? []) sums[at] += weight;
  const features = listFeatures(note);
  // Context features do not help with dangers.
  const contexts =
    question === "danger" ? [] : [...listContexts(note), ...listPlaceWords(features, kind)];
  for (const [feature, share] of [...features, ...contexts]) {
    for (const [at, weight] of table.get(feature) ?? []) sums[at] += share * weight;
  }
  const top = Math.max(...sums);
  const all = top + Math.log(sums.reduce((sum, one) => sum + Math.exp(one - top), 0));
  return new Map(classes[question].map((one, k) => [one as Answer<Q>, sums[k] - all]));
}

/**
 * Puts runs of several grades into one table, and the probabilities of all of them into bins:
 *
 *     npm run prove -- --grade slight --seed 73000 --desks 14 --json > slight.json
 *     node scripts/prove/grades.mjs any.json slight.json … --write
 *
 * The table goes to stdout, with `--write` into docs/diagnosis.md too.
 */
import { readFileSync } from "node:fs";
import { hideables } from "./answers.mjs";
import { writePage } from "./page.mjs";
import { score } from "./score.mjs";
import { interval } from "./shared-tables.mjs";
import { table } from "./tables.mjs";

const files = process.argv.slice(2).filter((arg) => arg !== "--write");
const runs = files.map((file) => JSON.parse(readFileSync(file, "utf8")));

/** `9/12 (75 %, 47 to 91)`, with Wilson's interval of 95 %. */
function share(count, of) {
  if (of === 0) return "";
  const [low, high] = interval(count, of).map((part) => (100 * part).toFixed(0));
  return `${count}/${of} (${((100 * count) / of).toFixed(0)} %, ${low} to ${high})`;
}

const isFlagged = ({ worst }) => worst === "service" || worst === "watch";
const isRight = ({ right, rightToo = [] }, causes) =>
  causes.some(({ cause }) => [...right, ...rightToo].includes(cause));

/** One run as a row. */
function rowOf({ grade, seed, desks, judged, both }) {
  const hidden = judged.filter((one) => one.hidden !== undefined);
  const flagged = hidden.filter(isFlagged);
  const healthy = judged.filter((one) => one.hidden === undefined);
  const settings = hidden.filter(
    (one) => hideables[one.hidden].kind === "setting" && one.also === undefined,
  );
  const calledFaults = settings.filter(
    ({ causes: [first] }) => first?.kind === "fault" && first.cause !== "none-of-these",
  );
  return [
    grade,
    `${seed}, ${desks}`,
    String(hidden.length),
    share(flagged.filter((one) => isRight(one, one.causes.slice(0, 1))).length, flagged.length),
    share(flagged.filter((one) => isRight(one, one.causes.slice(0, 3))).length, flagged.length),
    both.of === 0 ? "" : share(both.both, both.findable),
    `${calledFaults.length}/${settings.length}`,
    share(healthy.filter(isFlagged).length, healthy.length),
  ];
}

const head = [
  "grade",
  "seed, desks",
  "hidden",
  "first right",
  "one of three",
  "both of two",
  "settings called faults",
  "healthy flagged",
];
const all = runs.flatMap(({ judged }) => judged);
const { reliability } = score(all);
const bins = reliability.map(({ from, to, of, right, meanProbability }) => [
  `${from.toFixed(1)} to ${to.toFixed(1)}`,
  meanProbability.toFixed(2),
  share(right, of),
]);
const hiddenFaults = all
  .filter(({ hidden }) => hidden !== undefined)
  .reduce((sum, { also }) => sum + (also === undefined ? 1 : 2), 0);
const text = [
  table(head, runs.map(rowOf)),
  `Probabilities stated for causes of ${hiddenFaults} hidden faults, settings and errors of patching:`,
  table(["stated", "mean", "it was that very cause"], bins),
].join("\n\n");
process.stdout.write(`${text}\n`);
if (process.argv.includes("--write")) writePage(text, "grades");

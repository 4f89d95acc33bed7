/**
 * Puts runs of several grades into one list, and the probabilities of all of them into bins:
 *
 *     npm run prove -- --grade slight --seed 73000 --desks 14 --json > slight.json
 *     node scripts/prove/grades.mjs any.json slight.json … --write
 *
 * Runs of one grade are counted together. It goes to stdout, with `--write` into docs/diagnosis.md too.
 */
import { readFileSync } from "node:fs";
import { wrapText } from "../../dist/report/wrap.js";
import { groupBy } from "../../dist/text/group-by.js";
import { hideables } from "./answers.mjs";
import { writePage } from "./page.mjs";
import { onceHealthy, score } from "./score.mjs";
import { interval } from "./shared-tables.mjs";
import { table } from "./tables.mjs";

const pageWidth = 80;

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

/** How a run is made again. */
function howToRun({ grade, seed, desks, draws = 1, size }) {
  const parts = [
    ...(grade === "any" ? [] : [`--grade ${grade}`]),
    `--seed ${seed} --desks ${desks}`,
    ...(draws === 1 ? [] : [`--draws ${draws}`]),
    ...(size === "any" ? [] : [`--size ${size}`]),
  ];
  return `\`${parts.join(" ")}\``;
}

/** Runs of one grade as a line of the list. */
function lineOf(own) {
  const [{ grade }] = own;
  const judged = onceHealthy(own.flatMap((run) => run.judged));
  const { both } = score(judged);
  const hidden = judged.filter((one) => one.hidden !== undefined);
  const flagged = hidden.filter(isFlagged);
  const healthy = judged.filter((one) => one.hidden === undefined);
  const settings = hidden.filter(
    (one) => hideables[one.hidden].kind === "setting" && one.also === undefined,
  );
  const calledFaults = settings.filter(
    ({ causes: [first] }) => first?.kind === "fault" && first.cause !== "none-of-these",
  );
  const first = flagged.filter((one) => isRight(one, one.causes.slice(0, 1))).length;
  const three = flagged.filter((one) => isRight(one, one.causes.slice(0, 3))).length;
  return [
    `**${grade}** (${own.map(howToRun).join(", ")}), ${hidden.length} paths with something hidden: flagged ${flagged.length}`,
    `of these the first cause right ${share(first, flagged.length)}`,
    `one of the first three ${share(three, flagged.length)}`,
    ...(both.of === 0
      ? []
      : [`both of two, where each is found alone, ${share(both.both, both.findable)}`]),
    ...(settings.length === 0
      ? []
      : [`settings called faults ${share(calledFaults.length, settings.length)}`]),
    `healthy paths flagged ${share(healthy.filter(isFlagged).length, healthy.length)}.`,
  ].join("; ");
}

const all = runs.flatMap(({ judged }) => judged);
const { reliability } = score(onceHealthy(all));
const bins = reliability.map(({ from, to, of, right, meanProbability }) => [
  `${from.toFixed(1)} to ${to.toFixed(1)}`,
  meanProbability.toFixed(2),
  share(right, of),
]);
const hiddenFaults = all
  .filter(({ hidden }) => hidden !== undefined)
  .reduce((sum, { also }) => sum + (also === undefined ? 1 : 2), 0);
const text = [
  [...groupBy(runs, ({ grade }) => grade).values()]
    .flatMap((own) => wrapText(lineOf(own), pageWidth, "- ", "  "))
    .join("\n"),
  wrapText(
    `Probabilities stated for causes of ${hiddenFaults} hidden faults, settings and errors of patching:`,
    pageWidth,
  ).join("\n"),
  table(["stated", "mean", "it was that very cause"], bins),
].join("\n\n");
process.stdout.write(`${text}\n`);
if (process.argv.includes("--write")) writePage(text, "grades");

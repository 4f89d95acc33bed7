/**
 * Every target with the figure reached, and how often the stated uncertainties hold.
 *
 *     npm run accuracy -- --returns 1000 --seed 1            tables on stdout
 *     npm run accuracy -- --returns 1000 --seed 1 --write    docs/accuracy.md made anew
 *
 * `--json` prints all of it for programs. Exit code 1 where a target is missed. A long count can be made
 * in parts, each of some kinds of returns, and put together:
 *
 *     node scripts/accuracy/coverage.mjs --returns 1000 --seed 1 --kind shapes --json > shapes.json
 *     npm run accuracy -- --from shapes.json --from others.json --write
 */
import { readFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { cases } from "./cases/index.mjs";
import { coverage } from "./coverage.mjs";
import { joined } from "./outcomes.mjs";
import { accuracyPage, accuracyText, writePage } from "./page.mjs";
import { targets } from "./targets.mjs";

const { values } = parseArgs({
  options: {
    returns: { type: "string", default: "1000" },
    seed: { type: "string", default: "1" },
    json: { type: "boolean", default: false },
    write: { type: "boolean", default: false },
    from: { type: "string", multiple: true },
  },
});
const say = (text) => process.stderr.write(`${text}\n`);
const parts = (values.from ?? []).map((name) => JSON.parse(readFileSync(name, "utf8")));
const counts = parts.length > 0 ? countsByKind(parts) : undefined;
const returns = counts ? Math.min(...counts.map(({ returns: made }) => made)) : whole("returns", 1);
const seed = parts.length > 0 ? parts[0].seed : whole("seed", 0);

const begun = performance.now();
const reached = await targets();
say(`targets worked out in ${seconds()} s`);
let told = 0;
const rows =
  parts.length > 0
    ? inOrder(joined(parts.map((part) => part.rows)))
    : await coverage(returns, seed, undefined, (share) => {
        if (share < told + 0.1) return;
        told = share;
        say(`${Math.round(100 * share)} % of the returns after ${seconds()} s`);
      });
if (values.json) {
  process.stdout.write(`${JSON.stringify({ returns, seed, targets: reached, coverage: rows })}\n`);
} else {
  const text = accuracyText(reached, rows);
  process.stdout.write(`${text.targets}\n\n${text.coverage}\n`);
}
const idsOf = (state) => [
  ...new Set(
    parts.filter((part) => part.state === state).flatMap((part) => part.rows.map((r) => r.id)),
  ),
];
if (values.write) writePage(accuracyPage(reached, rows, { returns, seed, counts, idsOf }));
if (reached.some(({ met }) => met === false)) process.exitCode = 1;

/** Returns of every kind by each state of the program, with their seeds; all kinds must be there. */
function countsByKind(all) {
  const sums = new Map();
  for (const { kinds, returns: made, seed: from, state } of all) {
    for (const kind of kinds) {
      const key = JSON.stringify([state ?? "", kind]);
      const sum = sums.get(key) ?? { state, kind, returns: 0, seeds: [] };
      sum.returns += made;
      if (!sum.seeds.includes(from)) sum.seeds.push(from);
      sums.set(key, sum);
    }
  }
  const counted = [...sums.values()];
  const missing = Object.keys(cases).filter((kind) => !counted.some((one) => one.kind === kind));
  if (missing.length > 0) {
    say(`--from: no part has ${missing.join(", ")}.`);
    process.exit(2);
  }
  return counted;
}

/** Rows in the order of the kinds, whatever that of the parts. */
function inOrder(all) {
  const place = new Map();
  for (const kind of Object.keys(cases)) {
    for (const part of parts.filter(({ kinds }) => kinds.includes(kind))) {
      for (const { id } of part.rows) if (!place.has(id)) place.set(id, place.size);
    }
  }
  return all.sort((a, b) => place.get(a.id) - place.get(b.id));
}

function seconds() {
  return ((performance.now() - begun) / 1000).toFixed(0);
}

function whole(name, least) {
  const value = Number(values[name]);
  if (Number.isInteger(value) && value >= least) return value;
  say(`--${name} ${values[name]}: a whole number from ${least} on is needed.`);
  process.exit(2);
}

/**
 * The proving ground of ranking and diagnosis: virtual desks with hidden faults, drawn at random,
 * recorded to WAV files, analysed as a user's are, and held against what was hidden.
 *
 *     npm run prove -- --desks 10 --seed 1 --profile standard
 *     npm run prove -- --seed 7 --desks 1 --verbose     one desk of that run again, closely
 *
 * The figures go to stdout (`--json` for programs), a line for each desk to stderr. `--write` puts
 * the tables into docs/diagnosis.md. `--size small` draws desks of eight strips; `--grade` what they
 * are like: see draw.mjs. `--draws 10` hides something else in the same desk ten times; its sound paths
 * are recorded once, and counted once. `--circuits` records strips drawn for ngspice and judges them; `--recorded`
 * names a folder where they were recorded before. `--shared` and
 * `--gate` prove other things: see prove-shared.mjs.
 */
import { writeSync } from "node:fs";
import { parseArgs } from "node:util";
import { wrapText } from "../../dist/report/wrap.js";
import { profiles } from "../../dist/signal/signal-table.js";
import { withThreadPool } from "../../dist/threads/thread-pool.js";
import { drawDesk, grades, sizes } from "./draw.mjs";
import { writePage } from "./page.mjs";
import { gateProof, mergeProofs, runProof, sharedProof } from "./prove-shared.mjs";
import { openDesk } from "./run-draws.mjs";
import { areBothAmong, isAmong, judgeDesk, onceHealthy, score } from "./score.mjs";
import { tables } from "./tables.mjs";
import { deskDetails, deskLine } from "./words.mjs";

const pageWidth = 80;

const asked = options();
if (asked.circuits) {
  const { proveTopologies, topologyTable } = await import("./circuits.mjs");
  const text = topologyTable(proveTopologies(asked.recorded, asked.seed));
  process.stdout.write(`${text}\n`);
  if (asked.write) writePage(text, "topologies");
  process.exit();
}
if (asked.merge !== undefined) {
  if (asked.proof === undefined) refuse("--merge goes with --shared or --gate.");
  mergeProofs(asked.proof, asked.merge.split(","));
  process.exit();
}
if (asked.proof !== undefined) {
  await runProof(asked.proof, asked);
  process.exit();
}
const { desks = 10, draws, seed, profile = "standard", size, grade, json, verbose, write } = asked;
const say = (text) => process.stderr.write(`${text}\n`);
const begun = performance.now();
const secondsSince = (from) => (performance.now() - from) / 1000;

// Leaving by exit removes the captures; being struck by a signal would not. What is known by then
// is told.
for (const [signal, code] of [
  ["SIGINT", 130],
  ["SIGTERM", 143],
]) {
  process.on(signal, () => {
    if (done > 0) tell();
    process.exit(code);
  });
}

const judged = [];
let done = 0;
await withThreadPool(async () => {
  for (let k = 0; k < desks; k++) {
    const desk = openDesk(drawDesk(seed + k, size, grade), profile);
    try {
      for (let draw = 0; draw < draws; draw++) await judgeDraw(desk, seed + k, draw);
    } finally {
      desk.close();
    }
    done++;
  }
});

tell();

/** What is hidden in one draw, recorded, judged and held against it. */
async function judgeDraw(desk, own, draw) {
  const drawBegun = performance.now();
  const plan = drawDesk(own, size, grade, draw);
  const round = await desk.run(plan);
  const judgedAll = judgeDesk(plan, round).map((one) => ({ ...one, draw }));
  const paths = grade === "double" ? await tryAlone(desk, plan, judgedAll) : judgedAll;
  judged.push(...paths);
  say(deskLine({ ...plan, draw }, paths, secondsSince(drawBegun)));
  if (verbose) say(deskDetails(plan, paths, round));
}

/**
 * Of strips with two faults not both of which were found: whether each is found where it is alone. What
 * one hides of the other, nobody can find.
 */
async function tryAlone(desk, plan, paths) {
  const missed = paths.filter(({ also, ...one }) => also && !areBothAmong({ also, ...one }));
  if (missed.length === 0) return paths;
  const found = new Map(missed.map(({ path }) => [path, []]));
  for (const which of ["name", "also"]) {
    const faults = plan.options.faults.filter(({ at, fault }) => {
      const hidden = plan.hidden.find(({ path }) => path === at);
      return hidden?.[which] === fault;
    });
    const hidden = plan.hidden.map(({ also, ...one }) =>
      which === "also" && also ? { ...one, name: also } : one,
    );
    const alone = { ...plan, hidden, options: { ...plan.options, faults } };
    for (const one of judgeDesk(alone, await desk.run(alone))) {
      found.get(one.path)?.push(isAmong(one, one.right));
    }
  }
  return paths.map((one) =>
    found.has(one.path) ? { ...one, findable: found.get(one.path).every(Boolean) } : one,
  );
}

/** The figures of the desks that are done, all of them unless the run was cut short. */
function tell() {
  // A desk that was cut short is another one than its seed says.
  const whole = judged.filter((one) => one.seed < seed + done);
  const figures = score(onceHealthy(whole));
  const seconds = secondsSince(begun);
  const last = seed + done - 1;
  const again = `npm run prove -- --desks ${done}${draws === 1 ? "" : ` --draws ${draws}`} --seed ${seed} --profile ${profile}${size === "any" ? "" : ` --size ${size}`}${grade === "any" ? "" : ` --grade ${grade}`}`;
  const text = [
    `\`\`\`sh\n${again}\n\`\`\``,
    wrapText(
      `${figures.paths} paths on ${done} desks${draws === 1 ? "" : `, ${draws} draws of what is hidden in each`}, seeds ${seed} to ${last}; ${figures.hidden} with something hidden.`,
      pageWidth,
    ).join("\n"),
    tables(figures),
  ].join("\n\n");
  if (json) {
    const run = {
      desks: done,
      draws,
      seed,
      profile,
      size,
      grade,
      seconds,
      ...figures,
      judged: whole,
    };
    writeSync(1, `${JSON.stringify(run)}\n`);
  } else writeSync(1, `${text}\n`);
  if (write) writePage(text);
  const short = done < desks ? `, cut short after ${done} of ${desks} desks` : "";
  say(`${seconds.toFixed(0)} s in all${short}`);
}

function options() {
  const { values } = parsed();
  const whole = (name, least) => {
    const value = Number(values[name]);
    if (!Number.isInteger(value) || value < least) {
      refuse(`--${name} ${values[name]}: a whole number from ${least} on is needed.`);
    }
    return value;
  };
  const { profile, shared, gate } = values;
  if (profile !== undefined && (!profiles.includes(profile) || profile === "controls")) {
    refuse(`--profile ${values.profile}: quick, standard or full is needed.`);
  }
  if (!Object.hasOwn(sizes, values.size)) {
    refuse(`--size ${values.size}: ${Object.keys(sizes).join(" or ")} is needed.`);
  }
  if (!Object.hasOwn(grades, values.grade)) {
    refuse(`--grade ${values.grade}: ${Object.keys(grades).join(", ")} is needed.`);
  }
  if (shared && gate) refuse("--shared and --gate: one at a time.");
  const proof = shared ? sharedProof : gate ? gateProof : undefined;
  const desks = values.desks === undefined ? undefined : whole("desks", 1);
  if (values.stereo && !gate) refuse("--stereo goes with --gate.");
  if (values.strips !== undefined && !shared) refuse("--strips goes with --shared.");
  const strips = values.strips === undefined ? undefined : whole("strips", 4);
  return { ...values, proof, desks, draws: whole("draws", 1), strips, seed: whole("seed", 0) };
}

function parsed() {
  try {
    return parseArgs({
      options: {
        desks: { type: "string" },
        draws: { type: "string", default: "1" },
        seed: { type: "string", default: "1" },
        profile: { type: "string" },
        size: { type: "string", default: "any" },
        grade: { type: "string", default: "any" },
        json: { type: "boolean", default: false },
        verbose: { type: "boolean", default: false },
        write: { type: "boolean", default: false },
        shared: { type: "boolean", default: false },
        gate: { type: "boolean", default: false },
        merge: { type: "string" },
        strips: { type: "string" },
        stereo: { type: "boolean", default: false },
        circuits: { type: "boolean", default: false },
        recorded: { type: "string" },
      },
    });
  } catch (error) {
    refuse(error.message);
  }
}

function refuse(message) {
  process.stderr.write(`${message}\n`);
  process.exit(2);
}

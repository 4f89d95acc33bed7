/**
 * Measures virtual desks twice, path by path and in passes, with faults hidden in strips, in what
 * several of them share, in outputs and buses, and counts: whether passes find what single plays find, whether a strip is blamed for an
 * output or a bus, whether readings agree within their uncertainties, and how many further plays find
 * a noisy strip. Run after a build:
 *
 *     node scripts/prove/passes.mjs --desks 24 --seed 24 [--profile quick] > passes.jsonl
 *     node scripts/prove/passes.mjs --page passes.jsonl
 *
 * The first prints a line of JSON for each desk, the second makes the table of docs/passes.md of them.
 */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { planPasses } from "../../dist/desk/passes.js";
import { readDesk } from "../../dist/desk/read/read-desk.js";
import { analyze } from "../../dist/jobs/analyze.js";
import { halve } from "../../dist/jobs/halve.js";
import { wrapText } from "../../dist/report/wrap.js";
import { encodeSamples } from "../../dist/signal/encode.js";
import { buildPassSignal } from "../../dist/signal/pass-signal.js";
import { buildSignalTable } from "../../dist/signal/signal-table.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { simulatePath, virtualDesk } from "../../dist/simulate/desk.js";
import { simulatePass } from "../../dist/simulate/pass.js";
import { sharedFaults } from "../../dist/simulate/shared-faults.js";
import { diceOf } from "./draw.mjs";
import { sharedTruths } from "./shared-truth.mjs";

const rate = 48_000;
const inputs = ["mic", "line"];
/**
 * On one bus six strips are open at once while six others are patched, four passes of each input, so
 * that sums have siblings; on buses three of six.
 */
const sizes = { mix: { strips: 24, outputs: 12 }, buses: { strips: 12, outputs: 6 } };
/** A desk of each form in turn. */
const kinds = ["single", "output", "several", "shared", "output", "several", "shared", "none"];
/** What several strips share, as far as a pass shows it on each of them. */
const sharedNames = ["feed-rails-low", "ribbon-contacts-tarnished", "batch-distorting"];

/** Faults of a strip that a pass sees on any bus, and those that only a silent strip shows. */
const own = [
  "dried-coupling",
  "dried-feedback-leg",
  "high-frequency-loss",
  "swapped-wiring",
  "dead-stage",
  "gain-off-value",
  "low-rails",
  "crossover",
];
const noises = ["noisy-input-device"];

const outputFaults = (output) => [
  { at: "output", output, fault: "level", db: -4 },
  { at: "output", output, fault: "inverted" },
  { at: "output", output, fault: "treble", hz: 6000 },
];
const busFaults = (bus) => [
  { at: "bus", bus, fault: "level", db: -4 },
  { at: "bus", bus, fault: "treble", hz: 6000 },
  { at: "bus", bus, fault: "noise", factor: 6 },
];

/** One desk: how it is recorded and what is wrong with it. */
export function drawPassCase(seed) {
  const dice = diceOf(`${seed}/prove passes`);
  const form = seed % 2 === 0 ? "mix" : "buses";
  const { strips, outputs } = sizes[form];
  const drawn = kinds[Math.floor(seed / 2) % kinds.length];
  // What several strips share: a bus where there are some, else their noise.
  const kind = drawn === "several" ? (form === "buses" ? "bus" : "noise") : drawn;
  const places = dice.shuffled(
    Array.from({ length: strips }, (_, k) => `${k + 1}/${dice.of(inputs)}`),
  );
  const singles = places.slice(0, kind === "none" ? 0 : 2).map((at) => ({
    at,
    fault: dice.of(own),
    severity: dice.between(0.4, 1),
  }));
  if (kind === "noise") {
    const at = `${places[3].split("/")[0]}/mic`;
    singles.push({ at, fault: dice.of(noises), severity: dice.between(0.7, 1) });
  }
  const faults =
    kind === "output"
      ? [dice.of(outputFaults(dice.whole(1, outputs)))]
      : kind === "bus"
        ? [dice.of(busFaults(dice.whole(0, outputs - 1)))]
        : [];
  const options = { seed, strips, inputs, mainsHz: 50, clockPpm: dice.between(-80, 80) };
  if (kind !== "shared") return { seed, form, kind, singles, faults, options };
  // A third of the desk's strips, side by side, but for a batch of op amps.
  const fault = dice.of(sharedNames);
  const { reach } = sharedFaults[fault];
  const third = strips / 3;
  const banks = Array.from({ length: 3 }, (_, k) => ({
    name: `bank ${k + 1}`,
    strips: Array.from({ length: third }, (_, n) => k * third + n + 1),
  }));
  const bank = dice.of(banks);
  const placed =
    reach === "strips"
      ? { fault, strips: bank.strips, severity: dice.between(0.3, 1) }
      : { fault, at: bank.name, severity: dice.between(0.3, 1) };
  const drawnBanks = reach === "strips" ? {} : { [`${reach}s`]: banks };
  return {
    seed,
    form,
    kind,
    // What a fault of the bank would hide on a strip is not drawn there.
    singles: singles.filter(({ at }) => !bank.strips.includes(Number(at.split("/")[0]))),
    faults,
    shared: { ...placed, struck: bank.strips },
    options: { ...options, banks: drawnBanks, sharedFaults: [placed] },
    told: reach === "strips" ? [] : banks,
  };
}

function wav(file, channels) {
  const frames = channels[0].length;
  const all = new Float64Array(frames * channels.length);
  channels.forEach((one, c) => {
    for (let i = 0; i < frames; i++) all[i * channels.length + c] = one[i];
  });
  const data = encodeSamples(all, "int24");
  const head = Buffer.alloc(44);
  head.write("RIFF", 0);
  head.writeUInt32LE(36 + data.length, 4);
  head.write("WAVEfmt ", 8);
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(1, 20);
  head.writeUInt16LE(channels.length, 22);
  head.writeUInt32LE(rate, 24);
  head.writeUInt32LE(rate * channels.length * 3, 28);
  head.writeUInt16LE(channels.length * 3, 32);
  head.writeUInt16LE(24, 34);
  head.write("data", 36);
  head.writeUInt32LE(data.length, 40);
  writeFileSync(file, Buffer.concat([head, data]));
  return file;
}

function deskFile(folder, { form, told = [], options: { strips } }) {
  mkdirSync(folder, { recursive: true });
  const { outputs } = sizes[strips === sizes.mix.strips ? "mix" : "buses"];
  const buses = form === "buses" ? "buses: bus 1-6\n" : "";
  const list = told.map(({ name, strips: own }) => `    ${name}: [${own.join(", ")}]\n`).join("");
  const shared = told.length === 0 ? "" : `flow:\n  shared:\n${list}`;
  writeFileSync(
    join(folder, "desk.yaml"),
    `name: A virtual desk\nmains: 50\nstrips: 1-${strips}\ninputs:\n  mic: { nominal: -40 }\n  line: { nominal: 4 }\noutputs: ${outputs}\n${buses}${shared}`,
  );
  return folder;
}

/** What is played into a pass: strips that are open with their signals. */
function openStrips(pass, profile, only) {
  const used = Array.from({ length: Math.max(...pass.outputs) }, (_, k) =>
    pass.outputs.includes(k + 1),
  );
  const signal = buildPassSignal(profile, "base", used, pass.form);
  const length = Math.ceil((signal.lengthS + 0.6) * rate);
  return pass.plays
    .filter(({ path }) => only === undefined || only.includes(path))
    .map(({ strip, input, output, channel }) => {
      const turn = signal.outputs[output - 1];
      const samples = new Float64Array(length);
      samples.set(synthesise(turn.table, rate), Math.round((turn.startS + 0.3) * rate));
      return { strip: Number(strip), input, output, signal: samples, bus: channel ?? 0 };
    });
}

export async function runPassCase(drawn, profile) {
  const { options, singles, faults, form } = drawn;
  const { strips } = options;
  const folder = mkdtempSync(join(tmpdir(), "passes-"));
  try {
    const desk = deskFile(join(folder, "desk"), drawn);
    const { passes } = planPasses(readDesk(desk));
    const table = synthesise(buildSignalTable(profile, "base"), rate);
    const preview = (captures, keep = "preview") =>
      analyze({ desk, captures, silent: [], keep, date: "2031-03-14" }, () => {});
    const ailing = virtualDesk({ ...options, faults: singles });
    const silent = new Float64Array(Math.round(0.3 * rate));
    const singlesDesk = deskFile(join(folder, "single"), { ...drawn, form: "mix" });
    const files = [];
    for (let strip = 1; strip <= strips; strip++) {
      for (const input of inputs) {
        const played = new Float64Array(table.length + 2 * silent.length);
        played.set(table, silent.length);
        const samples = simulatePath(ailing, strip, input, played, rate);
        files.push(wav(join(folder, `${strip} ${input}.wav`), [samples]));
      }
    }
    const single = await analyze(
      { desk: singlesDesk, captures: files, silent: [], keep: "preview", date: "2031-03-14" },
      () => {},
    );
    const buses = form === "mix" ? "mix" : sizes.buses.outputs;
    const passFiles = passes.map((pass) => {
      const channels = simulatePass(ailing, openStrips(pass, profile), rate, {
        name: `pass ${pass.number}`,
        buses,
        faults,
        ...(form === "buses" ? { crosstalkDb: -75 } : {}),
      });
      return wav(join(folder, `pass ${pass.number}.wav`), channels);
    });
    const round = await preview(passFiles, "store");
    const halving = await runHalving({ drawn, desk, round, passes, ailing, folder, profile });
    return { drawn, single, round, halving };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Plays what `halve` asks for until it knows. */
async function runHalving({ drawn, desk, round, passes, ailing, folder, profile }) {
  const high = (round.sums ?? []).filter(({ verdict }) => verdict === "too-high");
  const found = [];
  for (const [k, sum] of high.entries()) {
    const pass = passes.find(({ plays }) => plays.some(({ path }) => path === sum.paths[0]));
    const recordings = [];
    for (;;) {
      const request = { desk, round: round.id, which: k + 1, recordings };
      const { step, plays } = await halve(request, () => {});
      if (step.do !== "play" || recordings.length > 8) {
        found.push({ reading: sum.reading, step, plays: plays.length, of: sum.paths.length });
        break;
      }
      const channels = simulatePass(ailing, openStrips(pass, profile, step.open), rate, {
        name: `halving ${k} ${recordings.length}`,
        buses: "mix",
        faults: drawn.faults,
      });
      recordings.push(wav(join(folder, `halving ${k} ${recordings.length}.wav`), channels));
    }
  }
  return found;
}

const isFlagged = ({ findings, status, rank }) =>
  findings.some(({ severity }) => severity !== "remark") ||
  (status === "unusable" && rank !== undefined);

/** What the two rounds of a desk say of each other. */
export function scorePassCase({ drawn, single, round, halving }) {
  const { singles, faults, form, kind } = drawn;
  const hidden = new Set(singles.flatMap(({ at }) => (at.includes("/") ? [at] : [])));
  const noisy = new Set(singles.filter(({ fault }) => noises.includes(fault)).map(({ at }) => at));
  const byPath = (one) => new Map(one.paths.map((path) => [path.path, path]));
  const [alone, passed] = [byPath(single), byPath(round)];
  const bySingle = [...hidden].filter((path) => isFlagged(alone.get(path)));
  const canTell = bySingle.filter((path) => form === "buses" || !noisy.has(path));
  const lost = canTell.filter((path) => !isFlagged(passed.get(path)));
  const blamed = [...passed.values()].filter(
    (path) => !hidden.has(path.path) && isFlagged(path) && path.causes[0]?.kind === "fault",
  );
  const flagged = [...passed.values()].filter((path) => !hidden.has(path.path) && isFlagged(path));
  const flaggedSingle = [...alone.values()].filter(
    (path) => !hidden.has(path.path) && isFlagged(path),
  );
  const [fault] = faults;
  const name = fault?.at === "output" ? `output ${fault.output}` : `bus ${(fault?.bus ?? 0) + 1}`;
  const named = (round.shared ?? []).some(({ part }) => part.name === name);
  const isStruck = (path) => drawn.shared?.struck.includes(Number(path.split("/")[0])) === true;
  // Its kind, and most of its paths among those struck.
  const isTheShared = ({ part, paths }) =>
    drawn.shared !== undefined &&
    sharedTruths[drawn.shared.fault].kinds.includes(part.kind) &&
    paths.filter(isStruck).length > 0.7 * paths.length;
  const namesShared = drawn.shared && (round.shared ?? []).some(isTheShared);
  const namesSharedAlone = drawn.shared && (single.shared ?? []).some(isTheShared);
  const others = (round.shared ?? [])
    .filter((one) => one.part.name !== name && !isTheShared(one))
    .map(({ part }) => part.name ?? part.kind);
  const agree = { within: 0, of: 0, worst: [] };
  // On buses of their own amplifiers a path is another path.
  if (form === "mix" && fault === undefined) {
    for (const [name, one] of alone) {
      const two = passed.get(name);
      for (const [id, a] of Object.entries(one.readings)) {
        const b = two.readings[id];
        if (b === undefined || a.bound || b.bound) continue;
        agree.of++;
        const apart = Math.abs(a.value - b.value);
        const off = apart / Math.hypot(a.uncertainty, b.uncertainty);
        if (apart === 0 || off <= 1) agree.within++;
        else agree.worst.push(`${name} ${id} ${off.toFixed(1)}`);
      }
    }
  }
  return {
    seed: drawn.seed,
    form,
    kind,
    fault: fault
      ? `${name} ${fault.fault}`
      : drawn.shared && `${drawn.shared.fault} ${drawn.shared.severity.toFixed(2)}`,
    named: fault ? named : namesShared,
    ...(drawn.shared ? { namedAlone: namesSharedAlone } : {}),
    others,
    singles: singles.map(({ at, fault: what }) => `${at} ${what}`),
    found: bySingle.length,
    canTell: canTell.length,
    lost,
    blamed: blamed.map(({ path, causes }) => `${path} ${causes[0].cause}`),
    flagged: flagged.map(({ path, findings, reason }) => `${path} ${findings[0]?.words ?? reason}`),
    flaggedSingle: flaggedSingle.length,
    halving,
    noisy: [...noisy].filter((path) => bySingle.includes(path)),
    agree,
    warnings: round.warnings,
  };
}

const sum = (scores, pick) => scores.reduce((all, one) => all + pick(one), 0);

/** "204 to 205, 225 to 229". */
function formatSeeds(scores) {
  const runs = [];
  for (const { seed } of scores) {
    const last = runs.at(-1);
    if (last !== undefined && seed === last.to + 1) last.to = seed;
    else runs.push({ from: seed, to: seed });
  }
  return runs.map(({ from, to }) => (from === to ? `${from}` : `${from} to ${to}`)).join(", ");
}

/** What many desks showed, as the table of docs/passes.md. */
export function tabulatePasses(scores) {
  const ofKind = (kind) => scores.filter((one) => one.kind === kind);
  const blamed = (own) => `${sum(own, (s) => s.blamed.length)}`;
  const parts = (own) => `${own.filter(({ named }) => named).length} of ${own.length}`;
  const searches = scores.flatMap(({ halving, noisy }) =>
    noisy.length === 0
      ? []
      : [{ noisy, halving: halving.find(({ reading }) => reading === "hiss") }],
  );
  const isRight = ({ noisy, halving }) =>
    halving?.step.do === "found" && noisy.includes(halving.step.strip);
  const most = Math.max(0, ...searches.map(({ halving }) => halving?.plays ?? 0));
  const canTell = sum(scores, (s) => s.canTell);
  const rows = [
    ["a strip", `${canTell - sum(scores, (s) => s.lost.length)} of ${canTell}`, blamed(scores)],
    ["an output", parts(ofKind("output")), blamed(ofKind("output"))],
    ["a bus", parts(ofKind("bus")), blamed(ofKind("bus"))],
    [
      "what strips share",
      `${parts(ofKind("shared"))}; one by one ${ofKind("shared").filter((s) => s.namedAlone).length}`,
      blamed(ofKind("shared")),
    ],
    [
      "noise of one of six strips",
      `${searches.filter(isRight).length} of ${searches.length}, by ${most} plays at most`,
      blamed(ofKind("noise")),
    ],
  ];
  const head = ["fault of", "found", "strips blamed"];
  const widths = head.map((text, k) =>
    Math.max(...[text, ...rows.map((r) => r[k])].map((t) => t.length)),
  );
  const line = (cells) => `| ${cells.map((cell, k) => cell.padEnd(widths[k])).join(" | ")} |`;
  const mix = scores.filter(({ agree }) => agree.of > 0);
  const [within, of] = [sum(mix, (s) => s.agree.within), sum(mix, (s) => s.agree.of)];
  return [
    [line(head), line(widths.map((w) => "-".repeat(w))), ...rows.map(line)].join("\n"),
    wrapText(
      `${scores.length} desks, seeds ${formatSeeds(scores)}, ${scores.filter(({ form }) => form === "mix").length} of them on the mix bus with 12 outputs and 24 strips, the others on six buses with crosstalk, 6 outputs and 12 strips. Flagged without a fault of its own: ${sum(scores, (s) => s.flagged.length)} paths in passes, ${sum(scores, (s) => s.flaggedSingle)} one by one. Readings in passes and one by one agree within their combined uncertainties (95 %) in ${within} of ${of} cases (${((100 * within) / of).toFixed(1)} %).`,
      80,
    ).join("\n"),
  ].join("\n\n");
}

const page = fileURLToPath(new URL("../../docs/passes.md", import.meta.url));
const marks = ["<!-- proved -->", "<!-- proved end -->"];

function writePage(text) {
  const old = readFileSync(page, "utf8");
  const [from, to] = marks.map((mark) => old.indexOf(mark));
  if (from < 0 || to < from) throw new Error(`docs/passes.md lacks its marks ${marks.join(" ")}`);
  writeFileSync(page, `${old.slice(0, from)}${marks[0]}\n\n${text}\n\n${old.slice(to)}`);
}

if (process.argv[1].endsWith("passes.mjs")) {
  const word = (name, usual) => {
    const at = process.argv.indexOf(`--${name}`);
    return at < 0 ? usual : process.argv[at + 1];
  };
  const lines = word("page");
  if (lines !== undefined) {
    const text = readFileSync(lines, "utf8").trim().split("\n");
    writePage(tabulatePasses(text.map((line) => JSON.parse(line)).sort((a, b) => a.seed - b.seed)));
  } else {
    const seed = Number(word("seed", 24));
    for (let k = 0; k < Number(word("desks", 24)); k++) {
      const drawn = drawPassCase(seed + k);
      const score = scorePassCase(await runPassCase(drawn, word("profile", "quick")));
      process.stdout.write(`${JSON.stringify(score)}\n`);
    }
  }
}

/**
 * Ranks and diagnoses the strips that were drawn as circuits and run in ngspice
 * (fixtures/spice/causes): the twelve healthy ones with three ailing ones at a time, as a round has
 * them.
 *
 *     node scripts/prove/circuits.mjs            the confusion matrix
 *     node scripts/prove/circuits.mjs --write    into docs/diagnosis.md
 *     npm run prove -- --circuits                two further circuits at three severities, recorded
 *                                                anew by ngspice (Python 3 with numpy and scipy)
 */
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { rankAndDiagnose } from "../../dist/analysis/judge/rank-and-diagnose.js";
import { buildDefaultFlow } from "../../dist/desk/flow.js";
import { wrapText } from "../../dist/report/wrap.js";
import { writePage } from "./page.mjs";

const file = new URL("../../fixtures/spice/causes/measured.json", import.meta.url);

/** What was changed in a circuit: the diagnosis that is right, then those too like it to tell. */
export const rightForCircuit = {
  // At one setting of the gain one capacitor in a row is like another.
  "dried-gain-leg-capacitor": ["dried-gain-leg-capacitor", "dried-coupling-capacitor"],
  "dried-coupling-capacitor": ["dried-coupling-capacitor", "dried-gain-leg-capacitor"],
  "open-leg": ["open-leg"],
  "one-sided-clipping": ["early-clipping"],
  "low-rails": ["early-clipping"],
  "noisy-device": ["noisy-device"],
  "polarity-reversed": ["polarity-reversed"],
  "high-loss": ["high-loss"],
  "gain-resistor-off": ["gain-off", "worn-gain-control"],
  "pad-in": ["pad-in"],
  "low-cut-in": ["low-cut-left-in"],
  "equaliser-in": ["equaliser-left-in"],
  "open-shield": ["ground-hum"],
  "supply-ripple": ["supply-ripple"],
  "fader-off-mark": ["gain-off"],
  // What a resistance ahead of a capacitance loses; of a short one the treble alone shows.
  "series-resistance": ["added-series-resistance", "high-loss"],
  crossover: ["crossover-distortion"],
  "flicker-noise": ["noisy-device"],
};

/** The circuits of fixtures/spice/topologies. */
export const topologies = ["transformer", "inverting"];
const recorder = new URL("../../fixtures/spice/topologies/record.py", import.meta.url);

const atATime = 3;
const pageWidth = 80;

/** Every ailing strip with the causes named, and the healthy ones that were flagged. */
export function judgeCircuits(measured = file) {
  const { paths } = JSON.parse(readFileSync(measured, "utf8"));
  const healthy = paths.filter(({ hidden }) => hidden === "healthy");
  const ill = paths.filter(({ hidden }) => hidden !== "healthy");
  const named = [];
  let flagged = 0;
  let rounds = 0;
  // Those of one round ail from different things: three neighbours with the same share a part.
  const stride = Math.ceil(ill.length / atATime);
  for (let k = 0; k < stride; k++) {
    const round = [...healthy, ...ill.filter((_, i) => i % stride === k)];
    const { paths: judged } = rankAndDiagnose(
      {
        inputs: [{ name: "line", nominalDbu: 4, setup: "" }],
        flow: buildDefaultFlow(["line"]),
        paths: round.map(({ path }) => ({
          path,
          strip: path.split("/")[0],
          input: "line",
          family: "line",
        })),
      },
      round.map(({ path, readings, absent, curves }) => ({
        path,
        family: "line",
        measurement: { readings, absent, curves },
      })),
    );
    rounds++;
    judged.forEach(({ findings, causes }, i) => {
      const { hidden } = round[i];
      if (hidden !== "healthy") {
        const seen = findings.some(({ severity }) => severity !== "remark");
        named.push({ hidden, causes, seen });
      } else if (findings.some(({ severity }) => severity !== "remark")) flagged++;
    });
  }
  return { named, flagged, healthy: healthy.length * rounds };
}

/**
 * Records every topology anew, unless a folder holds what was recorded before, and counts.
 *
 * @param {string | undefined} folder with <topology>/measured.json
 * @param {number} seed of the parts and noises
 */
export function proveTopologies(folder, seed) {
  const out = folder ?? mkdtempSync(join(tmpdir(), "deskround-circuits-"));
  try {
    return topologies.map((topology) => {
      const measured = join(out, topology, "measured.json");
      if (!existsSync(measured)) {
        const args = [fileURLToPath(recorder), out, topology, "--seed", String(seed)];
        const { status } = spawnSync("python3", args, { stdio: ["ignore", 2, 2] });
        if (status !== 0) throw new Error(`${topology}: record.py ended with ${status}`);
      }
      return { topology, ...judgeCircuits(measured) };
    });
  } finally {
    if (folder === undefined) rmSync(out, { recursive: true, force: true });
  }
}

/** First cause right, one of three, and healthy ones flagged, by circuit and severity. */
export function topologyTable(proofs) {
  const rows = proofs.flatMap(({ topology, named }) =>
    ["slight", "moderate", "gross"].map((grade) => {
      const own = named.filter(({ hidden }) => hidden.endsWith(`/${grade}`));
      return [topology, grade, ...countRight(own).map(String)];
    }),
  );
  const all = proofs.flatMap(({ named }) => named);
  const total = ["all", "", ...countRight(all).map(String)];
  const wrong = proofs.flatMap(({ topology, named }) =>
    named
      .filter((one) => one.seen && !rightOf(one).includes(one.causes[0]?.cause))
      .flatMap(({ hidden, causes }) =>
        wrapText(
          `${topology}, ${hidden}: ${causes.map(({ cause, probability }) => `${cause} ${Math.round(100 * (probability ?? 0))} %`).join(", ") || "nothing"}`,
          pageWidth,
          "- ",
          "  ",
        ),
      ),
  );
  const head = ["circuit", "severity", "ill", "flagged", "first right", "one of three"];
  const flagged = proofs.reduce((sum, one) => sum + one.flagged, 0);
  const healthy = proofs.reduce((sum, one) => sum + one.healthy, 0);
  return [
    table(head, [...rows, total]),
    `Healthy strips flagged: ${flagged} of ${healthy}. Flagged, and the first cause wrong:`,
    wrong.join("\n") || "none.",
  ].join("\n\n");
}

const rightOf = ({ hidden }) => rightForCircuit[hidden.split("/")[0]];

function countRight(list) {
  const seen = list.filter((one) => one.seen);
  const among = (count) =>
    seen.filter((one) =>
      one.causes.slice(0, count).some(({ cause }) => rightOf(one).includes(cause)),
    ).length;
  return [list.length, seen.length, among(1), among(3)];
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const text = circuitTable(judgeCircuits());
  process.stdout.write(`${text}\n`);
  if (process.argv.includes("--write")) writePage(text, "circuits");
}

function circuitTable({ named, flagged, healthy }) {
  const rows = named.map(({ hidden, causes }) => {
    const [first] = causes;
    const at = rightForCircuit[hidden].indexOf(first?.cause);
    const chance =
      first?.probability === undefined ? "" : `${Math.round(100 * first.probability)} %`;
    return [hidden, first?.cause ?? "nothing", chance, ["yes", "alike"][at] ?? "no"];
  });
  const count = (verdict) => rows.filter((row) => row[3] === verdict).length;
  const head = ["changed in the circuit", "first cause named", "", "right"];
  return [
    table(head, rows),
    wrapText(
      `First cause right: ${count("yes")} of ${rows.length}; too similar to decide: ${count("alike")}. Healthy strips flagged: ${flagged} of ${healthy}.`,
      pageWidth,
    ).join("\n"),
  ].join("\n\n");
}

function table(head, rows) {
  const widths = head.map((_, i) => Math.max(3, ...[head, ...rows].map((r) => r[i].length)));
  const line = (cells) => `| ${cells.map((c, i) => c.padEnd(widths[i])).join(" | ")} |`;
  return [line(head), line(widths.map((w) => "-".repeat(w))), ...rows.map(line)].join("\n");
}

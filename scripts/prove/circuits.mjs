/**
 * Ranks and diagnoses the strips that were drawn as circuits and run in ngspice
 * (fixtures/spice/causes): the twelve healthy ones with three ailing ones at a time, as a round has
 * them.
 *
 *     node scripts/prove/circuits.mjs            the confusion matrix
 *     node scripts/prove/circuits.mjs --write    into docs/diagnosis.md
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { rankAndDiagnose } from "../../dist/analysis/judge/rank-and-diagnose.js";
import { buildDefaultFlow } from "../../dist/desk/flow.js";
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
};

const atATime = 3;

/** Every ailing strip with the causes named, and the healthy ones that were flagged. */
export function judgeCircuits() {
  const { paths } = JSON.parse(readFileSync(file, "utf8"));
  const healthy = paths.filter(({ hidden }) => hidden === "healthy");
  const ill = paths.filter(({ hidden }) => hidden !== "healthy");
  const named = [];
  let flagged = 0;
  let rounds = 0;
  for (let k = 0; k < ill.length; k += atATime) {
    const round = [...healthy, ...ill.slice(k, k + atATime)];
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
      if (hidden !== "healthy") named.push({ hidden, causes });
      else if (findings.some(({ severity }) => severity !== "remark")) flagged++;
    });
  }
  return { named, flagged, healthy: healthy.length * rounds };
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
  const widths = head.map((_, i) => Math.max(3, ...[head, ...rows].map((r) => r[i].length)));
  const line = (cells) => `| ${cells.map((c, i) => c.padEnd(widths[i])).join(" | ")} |`;
  return [
    [line(head), line(widths.map((w) => "-".repeat(w))), ...rows.map(line)].join("\n"),
    `First cause right: ${count("yes")} of ${rows.length}; too like it to tell: ${count("alike")}.\nHealthy strips flagged: ${flagged} of ${healthy}.`,
  ].join("\n\n");
}

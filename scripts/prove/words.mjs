/** What is told of a desk while a run goes on. */

import { virtualDesk } from "../../dist/simulate/desk.js";
import { faults } from "../../dist/simulate/faults.js";

/** One line for a desk. */
export function deskLine(plan, judged, seconds) {
  const { strips, inputs, mainsHz } = plan.options;
  const hidden = judged.filter((one) => one.hidden);
  const right = hidden.filter((one) => one.right.includes(one.causes[0]?.cause));
  const flagged = judged.filter(
    (one) => !one.hidden && (one.worst === "service" || one.worst === "watch"),
  );
  return [
    `seed ${plan.seed}${plan.draw ? `, draw ${plan.draw}` : ""}: ${strips} strips, ${inputs.join(" ")}, ${mainsHz} Hz, batches: ${plan.batches};`,
    `first cause right ${right.length} of ${hidden.length}, healthy flagged ${flagged.length};`,
    `${seconds.toFixed(0)} s`,
  ].join(" ");
}

/** Every hidden path, and every healthy one that was flagged, with what was said of it. */
export function deskDetails(plan, judged, round) {
  const desk = virtualDesk(plan.options);
  const sound = virtualDesk({ ...plan.options, faults: [] });
  return judged
    .filter((one) => one.hidden || one.worst === "service" || one.worst === "watch")
    .flatMap((one) => {
      const { findings } = round.paths.find(({ path }) => path === one.path);
      return [
        `  ${one.path}: ${one.hidden ? hiddenWords(one, desk, sound) : "healthy"}`,
        `    named: ${one.causes.map(causeWords(one.right)).join(", ") || "nothing"}`,
        ...findings.slice(0, 4).map((f) => `    ${f.severity}: ${f.words}`),
      ];
    })
    .join("\n");
}

function hiddenWords({ path, hidden, severity, bin }, desk, sound) {
  const extent = severity === undefined ? "" : `, ${bin} (${severity.toFixed(2)})`;
  const fault = faults[hidden];
  if (fault === undefined) return hidden;
  const values = `${fault.show(sound.paths[path])} → ${fault.show(desk.paths[path])}`;
  return `${hidden}${extent}; ${fault.part}: ${values}`;
}

const causeWords =
  (right) =>
  ({ cause, probability }) => {
    const sure = probability === undefined ? "" : ` ${probability.toFixed(2)}`;
    return `${right.includes(cause) ? `*${cause}*` : cause}${sure}`;
  };

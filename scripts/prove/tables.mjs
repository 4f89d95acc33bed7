/** The figures of a run as tables that read well as text and as Markdown. */
import { causeKinds } from "../../dist/diagnose/causes.js";
import { wrapText } from "../../dist/report/wrap.js";
import { hideables } from "./answers.mjs";
import { bins, severities } from "./score.mjs";

const mostListed = 12;
const width = 80;

/**
 * @param {ReturnType<import("./score.mjs").score>} figures
 * @returns {string}
 */
export function tables(figures) {
  return [
    part("First cause right / among the first three / hidden", accuracyTable(figures)),
    part("Hidden against first cause named (right ones in *asterisks*)", confusionList(figures)),
    part("False alarms: healthy paths by their worst finding", alarmTable(figures)),
    part("Settings and patch errors called faults", listed(figures.harmlessCalledFaults)),
    part("Faults called settings or patch errors", listed(figures.faultsCalledHarmless)),
    part("Missed: hidden, and no finding above a remark", listed(figures.missed)),
    part("Stated probability against how often it was that very cause", reliabilityTable(figures)),
    ...(figures.both.of > 0 ? [part("Two faults on one strip", bothWords(figures.both))] : []),
    ...strangers(figures),
  ].join("\n\n");
}

const bothWords = ({ of, both, either, findable }) =>
  `Both among the first three: ${both} of ${of} (${percent(both, of)}); one of them at least: ${either}. Where each would be found alone: ${both} of ${findable} (${percent(both, findable)}).`;

const part = (title, body) => `### ${title}\n\n${body}`;

function accuracyTable({ accuracy }) {
  const cell = (hits) => (hits === undefined ? "" : `${hits.first}/${hits.topThree}/${hits.of}`);
  const row = ([name, hits]) => [name, ...[...bins, "all"].map((bin) => cell(hits[bin]))];
  const { causes, kinds, all } = accuracy;
  const kindRows = Object.entries(kinds).map(([kind, hits]) => [`every ${kind}`, hits]);
  const rows = [...Object.entries(causes), ...kindRows, ["all", all]].map(row);
  const { first, topThree, of } = all.all;
  const shares =
    of === 0
      ? "Nothing was hidden."
      : `Of all: first ${percent(first, of)}, among the first three ${percent(topThree, of)}.`;
  return `${table(["hidden", ...bins, "all"], rows)}\n\n${shares}`;
}

function confusionList({ confusion }) {
  const rows = Object.entries(confusion).map(([name, firsts]) => {
    const cells = Object.entries(firsts)
      .sort(([, a], [, b]) => b.of - a.of)
      .map(
        ([cause, { of, right }]) => `${right > 0 ? `*${cause}*` : cause} ${of}${partly(of, right)}`,
      );
    return `${name}: ${cells.join(", ")}`;
  });
  return rows.length === 0 ? "Nothing was hidden." : list(rows);
}

const partly = (of, right) => (right > 0 && right < of ? ` (right for ${right})` : "");

function alarmTable({ falseAlarms, falseAlarmsByBatches }) {
  const row = (name, alarms) => [
    name,
    String(alarms.of),
    ...severities.map((severity) => perThousand(alarms[severity], alarms.of)),
    perThousand(alarms.calledFaults, alarms.of),
  ];
  const head = ["batches", "healthy", ...severities.map((s) => `${s} ‰`), "fault named ‰"];
  const rows = Object.entries(falseAlarmsByBatches).map(([name, alarms]) => row(name, alarms));
  return table(head, [...rows, row("all", falseAlarms)]);
}

function listed({ of, paths }) {
  if (of === 0) return "None was hidden.";
  const head = `${paths.length} of ${of}.`;
  const lines = paths
    .slice(0, mostListed)
    .map(
      ({ seed, path, hidden, bin, first }) =>
        `seed ${seed}, ${path}: ${hidden}, ${bin}; named: ${first}`,
    );
  const more = paths.length > mostListed ? [`and ${paths.length - mostListed} more`] : [];
  return paths.length === 0 ? head : `${head}\n\n${list([...lines, ...more])}`;
}

function reliabilityTable({ reliability }) {
  if (reliability.length === 0) return "No cause states a probability.";
  const rows = reliability.map(({ from, to, of, right, meanProbability }) => [
    `${from.toFixed(1)} to ${to.toFixed(1)}`,
    String(of),
    meanProbability.toFixed(2),
    (right / of).toFixed(2),
  ]);
  return table(["stated", "causes", "mean stated", "share right"], rows);
}

/** Ids that only one side knows: a sign that answers.mjs or the diagnosis lags behind. */
function strangers({ confusion }) {
  const named = Object.values(confusion).flatMap((firsts) => Object.keys(firsts));
  const known = new Set([...causeKinds.map(({ id }) => id), ...named]);
  const expected = new Set(
    Object.values(hideables).flatMap(({ right, alike = [] }) => [...right, ...alike]),
  );
  const unnamed = [...expected].filter((id) => !known.has(id));
  const untried = causeKinds
    .filter(({ kind, predict }) => predict !== undefined || kind === "patch")
    .map(({ id }) => id)
    .filter((id) => !expected.has(id));
  return [
    ...(unnamed.length > 0
      ? [paragraph(`Right somewhere, but unknown to the diagnosis: ${unnamed.join(", ")}.`)]
      : []),
    ...(untried.length > 0 ? [paragraph(`Never hidden here: ${untried.join(", ")}.`)] : []),
  ];
}

const paragraph = (text) => wrapText(text, width).join("\n");
const list = (items) => items.flatMap((item) => wrapText(item, width, "- ", "  ")).join("\n");
const percent = (count, of) => `${((100 * count) / of).toFixed(1)} %`;
const perThousand = (count, of) => (of === 0 ? "–" : ((1000 * count) / of).toFixed(1));

/** A Markdown table that reads well as text. */
export function table(head, rows) {
  const widths = head.map((text, k) =>
    Math.max(3, ...[text, ...rows.map((r) => r[k])].map(length)),
  );
  const line = (cells) =>
    `| ${cells.map((cell, k) => cell + " ".repeat(widths[k] - length(cell))).join(" | ")} |`;
  return [line(head), line(widths.map((w) => "-".repeat(w))), ...rows.map(line)].join("\n");
}

const length = (text) => [...text].length;

/**
 * The parts of the pages that are made from the code, each under a name:
 *
 *     <!-- made: readings -->
 *     …
 *     <!-- end -->
 *
 * Thresholds are found by asking the functions that apply them, so that no figure is written twice.
 */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import * as z from "zod";
import { parseTakeNumber, readFileName } from "../dist/capture/assign/file-names.js";
import { expectationForms, expectationGrounds } from "../dist/desk/expectations.js";
import { planPasses, planPassWork, sumPassTimes } from "../dist/desk/passes.js";
import { planPatchSteps } from "../dist/desk/patch-steps.js";
import { parseDesk } from "../dist/desk/read/read-desk.js";
import {
  ageKeys,
  audioKeys,
  constructionKeys,
  deskKeys,
  deskSchema,
  flowKeys,
  formatAllowedKeys,
  inputKeys,
  partKeys,
  referencePathKeys,
} from "../dist/desk/schema.js";
import { commonPractice, liveDanger, powerStates, sharedRisks } from "../dist/diagnose/bench.js";
import { causeKinds, findCause } from "../dist/diagnose/causes.js";
import { checkKinds } from "../dist/diagnose/checks/check-kinds.js";
import { buildOctaveGrid } from "../dist/dsp/octave-grid.js";
import { readingKinds } from "../dist/measure/reading-kinds.js";
import { minSiblings } from "../dist/rank/family-stats.js";
import { rankPaths } from "../dist/rank/rank.js";
import { responseLeastDb } from "../dist/rank/responses.js";
import {
  minInDeviations,
  priorInAssumed,
  scoreSiblingDeviation,
} from "../dist/rank/robust-stats.js";
import { classifySeverity, getThresholdFactor } from "../dist/rank/severity.js";
import { checkFormatNames } from "../dist/report/check/format.js";
import { endedLine, sittingEventKinds } from "../dist/report/sitting/event-kinds.js";
import { sittingKeys } from "../dist/report/sitting/key-help.js";
import { wrapText } from "../dist/report/wrap.js";
import { listBuiltInLimits } from "../dist/service/limits/built-in.js";
import { signalFormats } from "../dist/signal/encode.js";
import { formatHeading, formatSegment } from "../dist/signal/labels.js";
import { buildPassSignal } from "../dist/signal/pass-signal.js";
import {
  bands,
  buildSignalTable,
  computeMarkerSpacing,
  profiles,
  sampleRates,
} from "../dist/signal/signal-table.js";

const width = 80;

const parts = {
  readings: readingList,
  "readings-judged": judgedTable,
  severities: severityList,
  "small-families": smallFamilyTable,
  "response-floor": responseFloor,
  causes: causeIndex,
  "cause-book": causeBook,
  "shared-risks": sharedRiskList,
  checks: checkList,
  "built-in-limits": builtInLimitList,
  "desk-keys": deskKeyList,
  expectations: expectationList,
  "sitting-keys": sittingKeyTable,
  "sitting-events": sittingEventList,
  "pass-times": passTimesTable,
  "controls-times": controlsTimesTable,
  "file-names": fileNameTable,
  "name-patterns": namePatternTable,
  segments: segmentTables,
  "marker-spacings": spacingTable,
  "signal-labels": labelBlock,
  "signal-kinds": signalKinds,
  "check-forms": checkFormLine,
};

/** The page with every made part made anew. */
export function makeParts(page) {
  return page.replace(
    /(<!-- made: ([\w-]+) -->\n)([\s\S]*?)(<!-- end -->)/g,
    (_, begin, name, old, end) => {
      if (!Object.hasOwn(parts, name)) throw new Error(`no made part is called ${name}`);
      if (old.includes("<!-- made:")) throw new Error(`the made part ${name} has no end`);
      return `${begin}\n${parts[name]()}\n\n${end}`;
    },
  );
}

/** A table whose source can be read too. */
function table(head, rows) {
  const widths = head.map((text, k) => Math.max(...[text, ...rows.map((r) => r[k])].map(length)));
  const line = (cells) =>
    `| ${cells.map((c, k) => c + " ".repeat(widths[k] - length(c))).join(" | ")} |`;
  return [line(head), line(widths.map((w) => "-".repeat(w))), ...rows.map(line)].join("\n");
}

const length = (text) => [...text].length;

const list = (items) => items.flatMap((item) => wrapText(item, width, "- ", "  ")).join("\n");

const figure = (value) => String(Number(value.toFixed(3))).replace("-", "−");

const shortUnit = (unit) => unit.replace("octave", "oct");

/** A difference of levels is in decibels, whatever they are counted from. */
const differenceOf = (value, unit) =>
  `${figure(value)} ${shortUnit(unit).replace(/^dB(FS|u)/, "dB")}`.trim();

/** The harmonics of the 1 kHz tone differ in nothing but their order. */
const isRepeated = ({ id }) => /^harmonic([3-9]|10)$/.test(id);

const listedReadings = readingKinds.filter((kind) => !isRepeated(kind));

function readingList() {
  // A controls pass has no readings.
  const measured = profiles.filter((profile) => profile !== "controls");
  const lacking = (segment) =>
    measured.filter((profile) =>
      buildSignalTable(profile, "base").segments.every(({ name }) => name !== segment),
    );
  return list(
    listedReadings.map(({ id, unit, segment, definition, source }) => {
      const name = id === "harmonic2" ? "`harmonic2` to `harmonic10`" : `\`${id}\``;
      const what = definition.replace("harmonic 2 of", "each harmonic of");
      const without = lacking(segment);
      const where = without.length === 0 ? segment : `${segment}, not in ${without.join(", ")}`;
      return `${name}${unit === "" ? "" : `, ${unit}`}: ${what} (${source}; ${where}).`;
    }),
  );
}

const brief = { up: "up", down: "down", both: "both", none: "" };

function judgedTable() {
  const rows = listedReadings.map((kind) => {
    const { id, aspect, unit, harm, harmInTime, least, leastChange, levelDependence } = kind;
    const { evidence, ageing, values } = kind;
    return [
      id === "harmonic2" ? "harmonic2…" : id,
      aspect,
      brief[harm],
      harm === "none" || values ? "" : differenceOf(least, unit),
      levelDependence === undefined ? "" : "yes",
      evidence === undefined ? "" : isFirst(kind) ? "yes" : "else",
      ageing === undefined ? "" : brief[harmInTime ?? harm],
      changeWords(leastChange ?? (harm === "none" ? least : 0), unit),
    ];
  });
  const head = ["reading", "aspect", "harm", "floor", "tone", "cause", "ages", "change"];
  return table(head, rows);
}

function changeWords(least, unit) {
  if (typeof least === "object") return `${figure(100 * least.share)} %`;
  return least === 0 ? "" : differenceOf(least, unit);
}

/** Readings of one group stand in for one another, the first that a path has. */
function isFirst({ evidence }) {
  return readingKinds.every(
    (other) => other.evidence?.group !== evidence.group || other.evidence.order >= evidence.order,
  );
}

/** The least value from which a condition holds, to a thousandth. */
function from(low, high, holds) {
  let [no, yes] = [low, high];
  if (holds(no) || !holds(yes)) throw new Error("no threshold lies between these");
  while (yes - no > 1e-6) {
    const middle = (no + yes) / 2;
    if (holds(middle)) yes = middle;
    else no = middle;
  }
  return figure(yes);
}

const severities = ["remark", "watch", "service"];
const reaches = (found, wanted) => severities.indexOf(found) >= severities.indexOf(wanted);

function severityList() {
  const harmful = (significance, floors) => classifySeverity(significance, floors, 1, true);
  const [remark, watch, service] = severities.map((severity) =>
    from(0, 50, (significance) => reaches(harmful(significance, 1e6), severity)),
  );
  const least = from(0, 50, (floors) => harmful(1e6, floors) !== undefined);
  const floors = from(0, 50, (many) => harmful(1e6, many) === "service");
  const times = (count) => (count === "1" ? "the practical floor" : `${count} practical floors`);
  if (classifySeverity(1e6, 1e6, 1, false) !== "remark")
    throw new Error("harmless is more than remark");
  return list([
    `**service**: significance ${service} or more, and a difference of at least ${times(floors)}, in the direction of harm.`,
    `**watch**: significance ${watch} or more, and at least ${times(least)}, in the direction of harm.`,
    `**remark**: significance ${remark} or more, and at least ${times(least)}; also any such difference in the harmless direction, however large.`,
  ]);
}

/** How far out one of a few siblings must lie, when their own scatter is all there is. */
/** In practical floors, of siblings that scatter as known beforehand and four times as much. */
function smallFamilyTable() {
  const known = priorInAssumed / minInDeviations;
  const needed = (count, wide, severity) =>
    from(0, 1e3, (value) => {
      const siblings = { count: count === 2 ? 1 : count, median: 0, scale: wide * known };
      const found = scoreSiblingDeviation(value, siblings, 0, 1 / minInDeviations, wide);
      const least = getThresholdFactor(siblings.count);
      return reaches(classifySeverity(found.significance, value, least, true), severity);
    });
  const rows = [2, minSiblings, 4, 6, 8, 12, 24, 48].map((count) => [
    String(count),
    ...[1, 4].flatMap((wide) =>
      ["watch", "service"].map((severity) =>
        count === 2 && wide > 1 ? "–" : Number(needed(count, wide, severity)).toFixed(1),
      ),
    ),
  ]);
  return table(["paths measured", "watch", "service", "watch, wide", "service, wide"], rows);
}

/** The curve's own floor and its neighbours, found with a family of flat curves and one bump. */
function responseFloor() {
  const x = buildOctaveGrid(24, 20, 20_000);
  const path = (k, y) => {
    const response = { x, y, uncertainty: x.map(() => 0), xUnit: "Hz", yUnit: "dB" };
    return {
      path: `${k}/line`,
      family: "line",
      measurement: { readings: {}, absent: {}, curves: { response } },
    };
  };
  const flat = Array.from({ length: 11 }, (_, k) =>
    path(
      k + 2,
      x.map(() => 0),
    ),
  );
  const found = (bump) =>
    rankPaths([
      path(
        1,
        x.map((_, i) => bump(i)),
      ),
      ...flat,
    ])[0].findings;
  const middle = Math.round(x.length / 2);
  const points = Array.from({ length: 24 }, (_, k) => k + 1).find(
    (many) => found((i) => (i >= middle && i < middle + many ? -20 : 0)).length > 0,
  );
  // Dips all over the band, but not most of it: that would be another level.
  const limits = found((i) => (i % 24 < points + 2 ? -20 : 0)).length;
  return wrapText(
    `Its practical floor is ${figure(responseLeastDb)} dB, a difference must hold over ${points} neighbouring points, and a curve gives at most ${limits} findings, one for each of ${limits} parts of the band.`,
    width,
  ).join("\n");
}

const sentence = (text) =>
  `${text[0].toUpperCase()}${text.slice(1)}${text.endsWith(".") ? "" : "."}`;

/** What shows each cause, so that it can be looked up. */
function causeIndex() {
  return list(
    causeKinds.map((cause) => {
      const { name, kind, shownBy } = cause;
      const link = isInBook(cause) ? `[${name}](#${anchorOf(headingOf(cause))})` : name;
      return `${link} (${kind}): ${shownBy.join(", ")}`;
    }),
  );
}

/** Errors of patching and recording need no bench. */
const isInBook = ({ kind }) => kind !== "patch" && kind !== "capture";

/** A longer name has its first part as heading, so that a link to it fits a line. */
const longestHeading = 60;

const shortNameOf = ({ name }) => (name.length > longestHeading ? name.split(":")[0] : name);
const headingOf = (cause) => sentence(shortNameOf(cause)).slice(0, -1);

/** The anchor that a page of Markdown gives a heading. */
const anchorOf = (heading) =>
  heading
    .toLowerCase()
    .replace(/[^\p{L}\p{N} _-]/gu, "")
    .replaceAll(" ", "-");

/** From here on a cause's oddity is gone more often than not. */
const oftenGone = 0.5;

/** Every check, what it costs, and of which causes it finds gone what they show. */
function checkList() {
  return list(
    checkKinds.map(({ id, step, minutes, looksAt }) => {
      const gone = causeKinds.filter(
        ({ kind, answers = {} }) =>
          (kind === "fault" || kind === "setting") && (answers[id] ?? 0) >= oftenGone,
      );
      const idle = causeKinds.filter(({ idles = [] }) => idles.includes(id));
      const tells = gone.length === 0 ? [] : [`Gone: ${gone.map(({ name }) => name).join("; ")}`];
      const dead =
        idle.length === 0 ? [] : [`Points to: ${idle.map(({ name }) => name).join("; ")}`];
      const name = looksAt === "controls" ? "a controls pass" : `\`${id}\``;
      return `${name}, ${minutes} minutes: ${[step.text, ...tells, ...dead].join(". ")}.`;
    }),
  );
}

/** Everything that is known of each cause, as its file has it. */
function causeBook() {
  return causeKinds
    .filter(isInBook)
    .map((cause) => {
      const { settle, ready, confusedWith, bench } = cause;
      const steps = [settle, ...bench.steps].toSorted(
        (a, b) => powerStates.indexOf(a.power) - powerStates.indexOf(b.power),
      );
      const parts = bench.parts.map(({ role, count }) => (count > 1 ? `${count} × ${role}` : role));
      const danger = (step) =>
        step.danger === undefined || step.danger === liveDanger ? "" : ` Danger: ${step.danger}.`;
      return [
        `### ${headingOf(cause)}`,
        "",
        list([
          ...steps.map((step) => `*${step.power}*: ${sentence(step.text)}${danger(step)}`),
          `*risk*: ${sentence(wordRisks(bench.risks))}`,
          `*repair*: ${bench.repair} About ${bench.minutes} minutes${ready === undefined && parts.length > 0 ? `; parts: ${parts.join(", ")}` : ""}.`,
          ...(ready === undefined ? [] : [`*have ready*: ${sentence(ready)}`]),
          ...confusedWith.map(
            (other) => `*or* ${shortNameOf(findCause(other.cause))}: ${sentence(other.check)}`,
          ),
          ...(bench.source === commonPractice ? [] : [`*source*: ${sentence(bench.source)}`]),
        ]),
      ].join("\n");
    })
    .join("\n\n");
}

/** Risks that many repairs share, which are printed once. */
function sharedRiskList() {
  return list(
    Object.entries(sharedRisks).map(([name, risks]) => `*${name}*: ${sentence(risks.join("; "))}`),
  );
}

/** What can hurt in a repair: what it shares with others by name, its own in full. */
function wordRisks(risks) {
  const shared = Object.entries(sharedRisks).filter(([, all]) =>
    all.every((risk) => risks.includes(risk)),
  );
  const own = risks.filter((risk) => !shared.some(([, all]) => all.includes(risk)));
  const names = shared.map(([name]) => `[${name}](#shared-risks)`);
  return [...(names.length === 0 ? [] : [names.join(", ")]), ...own].join("; ");
}

function builtInLimitList() {
  return list(
    listBuiltInLimits("named").map(({ name, text, why }) => `**${name}**: \`${text}\`: ${why}.`),
  );
}

function deskKeyList() {
  const schema = z.toJSONSchema(deskSchema, { io: "input" });
  const input = schema.properties.inputs.additionalProperties;
  const item = (shown, place, { properties, required }) => {
    const key = place.at(-1);
    const { default: usual } = properties[key];
    const said =
      key === "stages" || key === "flow" || key === "construction"
        ? "the usual"
        : usual === "" || typeof usual === "object"
          ? "none"
          : `\`${usual}\``;
    const unsaid = {
      strips: "all strips",
      controls: "the usual",
      plug: "the input's socket",
      pad: "what the levels ask for",
      captures: "none",
      outputs: "one that is patched by hand",
      buses: "none",
      "reference-path": "none",
    };
    const without = usual !== undefined ? said : (unsaid[key] ?? "unknown");
    const need = required.includes(key) ? "must be there" : `${without} when left out`;
    // Angle brackets would be taken for HTML.
    const allowed = formatAllowedKeys(place).replace(/<\w+>( <\w+>)*/g, "`$&`");
    return `\`${shown}\` (${need}): ${allowed}.`;
  };
  const { flow, construction, age, audio } = schema.properties;
  const past = schema.properties["reference-path"];
  const ofReference = {
    name: "`reference` when left out",
    nominal: "that of the mix output when left out",
    plug: "that socket when left out",
  };
  const part = construction.properties.parts.additionalProperties;
  const inner = {
    inputs: inputKeys.map((key) => item(key, ["inputs", "mic", key], input)),
    "reference-path": referencePathKeys.map((key) =>
      item(key, ["reference-path", key], past).replace(/\([^()]* when left out\)/, (said) =>
        ofReference[key] === undefined ? said : `(${ofReference[key]})`,
      ),
    ),
    flow: flowKeys.map((key) => item(key, ["flow", key], { required: [], ...flow })),
    construction: [
      ...constructionKeys.map((key) =>
        item(key, ["construction", key], { required: [], ...construction }),
      ),
      ...partKeys.map((key) => item(`parts: … ${key}`, ["construction", "parts", "x", key], part)),
    ],
    age: ageKeys.map((key) => item(key, ["age", key], { required: [], ...age })),
    audio: audioKeys.map((key) =>
      item(key, ["audio", key], audio).replace(/\(unknown when/, "(the system's own choice when"),
    ),
  };
  return deskKeys
    .flatMap((key) => [
      ...wrapText(item(key, [key], schema), width, "- ", "  "),
      ...(inner[key] ?? []).flatMap((one) => wrapText(one, width, "  - ", "    ")),
    ])
    .join("\n");
}

/** What all paths of a desk keep to, and where each value comes from. */
function sittingKeyTable() {
  return table(
    ["key", "what it does"],
    sittingKeys.map(({ key, does }) => [/^.$/.test(key) ? `\`${key}\`` : key, does]),
  );
}

function expectationList() {
  return list(
    expectationGrounds.map(
      ({ key, what, builtIn, source }) =>
        `\`${key}\` (\`${builtIn}\`): ${what}. ${source.charAt(0).toUpperCase()}${source.slice(1)}. Written as ${expectationForms[key]}.`,
    ),
  );
}

/** The desk of the example on the page. */
const exampleDesk = `name: x
mains: 50
strips: [1-12, 3A]
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`;

function sittingEventList() {
  const rows = Object.entries(sittingEventKinds).map(([kind, one]) => ({ kind, ...one }));
  return [...rows, endedLine]
    .flatMap(({ kind, tells, fields }) => {
      const own = Object.entries(fields).map(([name, words]) => `\`${name}\`: ${words}`);
      const rest = own.length === 0 ? "" : ` ${own.join("; ")}.`;
      return wrapText(`- \`${kind}\`: ${tells}.${rest}`, width, "", "  ");
    })
    .join("\n");
}

/** The desk of 40 × 3 paths that the times are worked out for. */
function timedDesk(more) {
  return parseDesk(
    `name: D\nmains: 50\nstrips: 1-40\ninputs:\n  mic: { nominal: -40 }\n  line: { nominal: 4 }\n  tape: { nominal: 4 }\n${more}\n`,
    "desk.yaml",
  );
}

function passPlayS({ form, outputs }) {
  const used = Array.from({ length: Math.max(...outputs) }, (_, k) => outputs.includes(k + 1));
  return buildPassSignal("standard", "base", used, form).lengthS;
}

/** What passes cost by the sheet's own estimate, against the same paths one by one. */
function passTimesTable() {
  const deskOf = timedDesk;
  const { lengthS } = buildSignalTable("standard", "base");
  const playS = passPlayS;
  const passRow = (name, desk, passes, whole, repeats = 1) => {
    const again = Array.from({ length: repeats }, () => passes).flat();
    const works = planPassWork(desk, again).slice(-passes.length);
    const plugs = works.reduce((sum, one) => sum + one.plugs.length, 0);
    const hands = works.reduce((sum, one) => sum + one.seconds, 0);
    return row(name, plugs, hands, sumPassTimes(works, passes.map(playS)), whole);
  };
  const row = (name, plugs, hands, all, whole) => [
    name,
    String(plugs),
    duration(hands),
    duration(all),
    `${Math.round((100 * all) / whole)} %`,
  ];
  const plain = deskOf("");
  const alone = (paths, repeats) => {
    const stops = Array.from({ length: repeats }, () => paths).flat();
    const steps = planPatchSteps(plain, stops).slice(-paths.length);
    const hands = steps.reduce((sum, { seconds }) => sum + seconds, 0);
    return { plugs: paths.length, hands, all: hands + paths.length * lengthS };
  };
  const whole = alone(plain.paths, 1);
  const tapes = plain.paths.filter(({ path }) => /^[1-8]\/tape$/.test(path));
  const eight = alone(tapes, 2);
  const byHand = (name, more) => {
    const desk = deskOf(`outputs: 8\n${more}`);
    return passRow(`8 outputs by hand, ${name}`, desk, planPasses(desk).passes, whole.all);
  };
  const wired = (name, more, form) => {
    const desk = deskOf(`outputs: [1-8/tape]\n${more}`);
    const { passes } = planPasses(desk, tapes);
    const own = passes.map((pass) => ({ ...pass, form: form ?? pass.form }));
    return passRow(`8 wired paths, ${name}`, desk, own, eight.all, 2);
  };
  return table(
    ["way", "plugs", "hands", "in all", "share"],
    [
      row("40 × 3 paths one by one", whole.plugs, whole.hands, whole.all, whole.all),
      byHand("mix bus", ""),
      byHand("8 groups", "buses: group 1-8"),
      byHand("a channel each", "channels: 1-40"),
      row("8 paths one by one, all set", eight.plugs, eight.hands, eight.all, eight.all),
      wired("mix bus", ""),
      wired("8 groups", "buses: group 1-8"),
      wired("8 groups, `--at-once`", "buses: group 1-8", "at-once"),
    ],
  );
}

/** As the run sheets of a new desk say it: two gains or three, five controls in all that are moved. */
function controlsTimesTable() {
  const folder = mkdtempSync(join(tmpdir(), "controls-times-"));
  const program = fileURLToPath(new URL("../bin/deskround.js", import.meta.url));
  const run = (desk, ...args) =>
    execFileSync(process.execPath, [program, ...args, "--desk", desk], {
      encoding: "utf8",
      stdio: ["ignore", "pipe", "ignore"],
    });
  const sheet = (desk, ...more) =>
    JSON.parse(run(desk, "signal", "--profile", "controls", "--sheet-only", "--json", ...more));
  const cells = ({ work, handsS, totalS }) => [
    String(work.plugs),
    duration(handsS),
    duration(totalS),
  ];
  try {
    const rows = [24, 40].flatMap((strips) => {
      const desk = join(folder, `desk-${strips}`);
      run(desk, "init", "--strips", String(strips), "--inputs", "mic,line,tape", "--name", "D");
      const file = join(desk, "desk.yaml");
      const everywhere = sheet(desk, "--out", join(desk, "all.wav"));
      const once = sheet(desk);
      // The tape input has no gain of its own.
      const text = readFileSync(file, "utf8");
      const at = text.indexOf("Tape return selected");
      writeFileSync(file, text.slice(0, at) + text.slice(at).replace(/^ *set: .*\n/m, ""));
      const two = sheet(desk);
      return [
        [`${strips} strips, all at every input`, ...cells(everywhere)],
        [`${strips} strips, once a strip, a gain at three inputs`, ...cells(once)],
        [`${strips} strips, once a strip, a gain at two inputs`, ...cells(two)],
      ];
    });
    return table(["controls pass", "plugs", "hands", "in all"], rows);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const duration = (seconds) =>
  seconds < 100
    ? `${Math.round(seconds)} s`
    : `${(seconds / 60).toFixed(seconds < 600 ? 1 : 0)} min`;

function fileNameTable() {
  const { paths } = parseDesk(exampleDesk, "desk.yaml");
  const names = [
    "07-mic.wav",
    "Strip 7 Mic take 2.wav",
    "mic_7 2031-03-14 96k.wav",
    "3A line.wav",
    "mic.wav",
    "line part 2.wav",
    "line evening 2.wav",
    "ch7.wav",
    "3A.wav",
    "07.wav",
    "evening.wav",
    "strip 13 mic.wav",
    "7 and 8 line.wav",
  ];
  return namesTable(names, paths);
}

/** Patterns of the example on the page. */
const examplePatterns = `captures:
  - mic: [Mikrofon <strip>, Mikrofon <strip> (<take>)]
  - line: <take>. Leitung <strip> <any>
  - Kanalzug <strip>
  - line: Leitungen
`;

function namePatternTable() {
  const { paths, captures } = parseDesk(exampleDesk + examplePatterns, "desk.yaml");
  const names = [
    "Mikrofon 07.wav",
    "MIKROFON 3a (012).wav",
    "002. Leitung 08 Abend.wav",
    "Kanalzug 4.wav",
    "Leitungen.wav",
    "Mikrofon 13.wav",
    "07-mic.wav",
  ];
  const block = ["```yaml", examplePatterns.trimEnd(), "```"].join("\n");
  return `${block}\n\n${namesTable(names, paths, captures)}`;
}

function namesTable(names, paths, patterns) {
  const rows = names.map((name) => {
    const reading = readFileName(name, paths, patterns);
    const take = reading.says === "paths" ? parseTakeNumber(name, paths, patterns) : 1;
    const path = meant(reading, paths) + (patterns && take > 1 ? `, take ${take}` : "");
    return [`\`${name}\``, reading.doubt ? `${path}, with a doubt` : path];
  });
  return table(["file", "is taken for"], rows);
}

function meant(reading, paths) {
  if (reading.says === "nothing") return "the next paths of the run sheet";
  if (reading.says === "unclear") return "an error";
  const [first] = reading.paths;
  if (reading.paths.length === 1) return first.path;
  const inputs = new Set(reading.paths.map(({ input }) => input));
  const all = paths.filter(({ input }) => inputs.has(input)).length;
  if (reading.paths.length === all) return `every strip's ${[...inputs].join(" and ")}, in order`;
  return `${reading.paths.map(({ path }) => path).join(", then ")}`;
}

function segmentTables() {
  return profiles
    .map((profile) => {
      const { lengthS, segments } = buildSignalTable(profile, "base");
      const rows = segments.map((segment) => [
        segment.name,
        segment.startS.toFixed(2),
        segment.lengthS.toFixed(2),
        contents(segment),
        levels(segment),
      ]);
      const title = `**${profile}**, ${lengthS.toFixed(2)} s`;
      return `${title}\n\n${table(["segment", "from, s", "long, s", "what plays", "dBFS"], rows)}`;
    })
    .join("\n\n");
}

const hertz = (hz) => (hz < 1000 ? `${figure(hz)} Hz` : `${figure(hz / 1000)} kHz`);

function contents(segment) {
  switch (segment.kind) {
    case "marker":
      return segment.which === "start" ? "chirp, chirp" : "chirp, chirp inverted";
    case "silence":
      return "nothing";
    case "sweep":
      return `${hertz(segment.fromHz)} to ${hertz(segment.toHz)} in ${segment.sweepS.toFixed(2)} s`;
    case "pips":
      return `${hertz(segment.frequencyHz)}, ${segment.count === 1 ? "1 pip" : `${segment.count} pips`}`;
    case "tone":
      return hertz(segment.frequencyHz);
    case "twin":
      return `${hertz(segment.lowHz)} and ${hertz(segment.highHz)}`;
    case "steps":
      return `${hertz(segment.frequencyHz)}, ${counted(segment.levelsDbfs.length, segment.stepS)}`;
  }
}

const counted = (steps, eachS) => (steps === 1 ? "1 step" : `${steps} steps of ${eachS} s`);

function levels(segment) {
  if (segment.kind === "silence") return "";
  if (segment.kind !== "steps") return figure(segment.levelDbfs);
  const [first, ...more] = segment.levelsDbfs.map(figure);
  return more.length === 0 ? first : `${first} to ${more.at(-1)}`;
}

function spacingTable() {
  const rows = profiles.map((profile) => [
    profile,
    ...bands.map((band) => `${Math.round(1000 * computeMarkerSpacing(profile, band))} ms`),
  ]);
  return table(["profile", ...bands.map((band) => `band ${band}`)], rows);
}

function labelBlock() {
  const signal = buildSignalTable("quick", "base");
  const labels = [formatHeading(signal), ...signal.segments.map(formatSegment)];
  return ["```text", ...labels, "```"].join("\n");
}

function signalKinds() {
  const wide = sampleRates.filter((rate) => rate >= 88_200);
  return wrapText(
    `Sample rates: ${sampleRates.join(", ")} Hz. Sample formats: ${signalFormats.join(", ")}. Profiles: ${profiles.join(", ")}. From ${wide[0]} Hz up the band is \`wide\` and the sweep runs to ${hertz(buildSignalTable("quick", "wide").segments.find(({ kind }) => kind === "sweep").toHz)}; below, it is \`base\`.`,
    width,
  ).join("\n");
}

function checkFormLine() {
  const names = checkFormatNames.map((name) => `\`${name}\``);
  const all = `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
  return wrapText(`Its forms, by \`--format\`: ${all}.`, width).join("\n");
}

import { writeFileSync } from "node:fs";
import { healthySpread } from "./healthy-spread.mjs";
import { medianWidth } from "./outcomes.mjs";

const wanted = { least: 93, most: 98 };

/** A Markdown table whose source can be read too. */
function table(head, rows) {
  const length = (text) => [...text].length;
  const widths = head.map((_, k) => Math.max(...[head, ...rows].map((row) => length(row[k]))));
  const line = (cells) =>
    `| ${cells.map((c, k) => c + " ".repeat(widths[k] - length(c))).join(" | ")} |`;
  return [line(head), line(widths.map((w) => "-".repeat(w))), ...rows.map(line)].join("\n");
}

/** What every share of 50 and more is held to besides, whatever chance says of it; and bounds. */
const asked = { least: 93, most: 98.5, bound: 95, of: 50 };

const percent = (part, all) => (100 * part) / all;

/** What keeps a reading's share from the goal, where it is known. */
const why = {
  polarity: "a sign",
  clicks: "a count",
  breaks: "a count",
  clipSide: "a limit",
  instability: "a floor",
  instability100: "a floor",
  "stereoPhase rates": "a floor",
  strayTone: "a floor",
  strayToneHz: "a floor",
  headroom: "a floor",
  "noise468 of whistles": "a floor",
  linearity: "a largest",
  "distortion curve": "a limit",
  "headroom with memory": "steps",
  "thd at a line": "a limit",
  "harmonic2 at a line": "a limit",
  "hiss calibrated": "a limit",
  "hiss other words": "a limit",
  "noise other words": "a limit",
  "thdN other words": "a limit",
};

const whyOf = (id) => why[id] ?? (/^(corner|order)(Low|High)/.test(id) ? "two fits" : undefined);

/** An interval wider than this share of what healthy siblings scatter by says little of a path. */
const mostOfSpread = 0.5;

/** Median width of a row's intervals against what healthy siblings scatter by. */
function usefulness(row) {
  const width = row.made > 0 ? medianWidth(row) : undefined;
  const spread = healthySpread(row.id);
  return width === undefined || spread === undefined ? undefined : width / spread;
}

/** Counts of six digits by the thousand, as the table has to fit a terminal. */
const inShort = (count) => (count < 100_000 ? String(count) : `${Math.round(count / 1000)}k`);

/** Goal for estimates; a bound has only to hold, so more is not a fault there. */
function judged(row) {
  const { id, made, held, bounds, boundsHeld } = row;
  const share = made > 0 ? percent(held, made) : undefined;
  const bound = bounds > 0 ? percent(boundsHeld, bounds) : undefined;
  let word = "";
  if (share !== undefined && made >= 50) {
    // The share itself is only known to two of these.
    const doubt = (200 / Math.sqrt(made)) * Math.sqrt(0.95 * 0.05);
    if (share > wanted.most) word = whyOf(id) ?? (share > wanted.most + doubt ? "too wide" : "");
    else if (share < wanted.least) word = share < wanted.least - doubt ? "missed" : "just missed";
  }
  if (bound !== undefined && bounds >= 50 && bound < wanted.least) word ||= "bound missed";
  const used = usefulness(row);
  if (used !== undefined && made >= 50 && used > mostOfSpread) {
    word = word === "" ? "wide" : `${word} wide`;
  }
  return [
    `\`${id}\``,
    share === undefined ? "" : share.toFixed(1),
    made > 0 ? inShort(made) : "",
    bound === undefined ? "" : bound.toFixed(1),
    bounds > 0 ? inShort(bounds) : "",
    used === undefined ? "" : used < 0.005 ? "0" : `${Math.round(100 * used)}`,
    word,
  ];
}

/**
 * Which rows lie outside of what is asked, in a paragraph.
 *
 * @param rows as `coverage` returns them
 */
export function listOutside(rows) {
  const share = ({ held, made }) => (made >= asked.of ? percent(held, made) : asked.least);
  const bound = ({ boundsHeld, bounds }) =>
    bounds >= asked.of ? percent(boundsHeld, bounds) : asked.bound;
  const named = (what, is) => {
    const ids = rows.filter(is).map(({ id }) => `\`${id}\``);
    return ids.length > 0 ? [`${what}: ${ids.join(", ")}.`] : [];
  };
  return wrapped(
    [
      ...named(`Held in less than ${asked.least} %`, (row) => share(row) < asked.least),
      ...named(`Bounds that hold in less than ${asked.bound} %`, (row) => bound(row) < asked.bound),
      ...named(`Held in more than ${asked.most} %`, (row) => share(row) > asked.most),
    ].join(" "),
  ).trim();
}

/** Both tables as a text for people. */
export function accuracyText(targets, coverage) {
  const rows = targets.map(({ what, target, figure, met }) => [
    what,
    target,
    figure,
    met === undefined ? "" : met ? "met" : "MISSED",
  ]);
  return {
    targets: table(["what", "target", "reached", ""], rows),
    coverage: table(
      ["reading", "held", "of", "bound", "of", "± %", "remark"],
      coverage.map(judged),
    ),
  };
}

/**
 * How many returns were drawn, and by what; `counts`, rows { state, kind, returns, seeds }, where it was done
 * in parts, and the ids of the rows of each state.
 */
function howMany(returns, seed, counts, idsOf) {
  if (counts === undefined) {
    return `
There are ${returns} of each kind, made by
\`npm run accuracy -- --returns ${returns} --seed ${seed}\`.`;
  }
  const states = [...new Set(counts.map(({ state }) => state))];
  const lists = states.map((state, k) => {
    const rows = counts.filter((one) => one.state === state);
    const list = rows.map(
      ({ kind, returns: made, seeds }) => `${kind} ${made} (${seeds.join(", ")})`,
    );
    const ids = idsOf(state).map((id) => `\`${id}\``);
    // The last has what the others have not.
    const which = k < states.length - 1 ? `the rows ${ids.join(", ")}` : "all others";
    const head = states.length > 1 ? `With ${state ?? "another"}, ${which}: ` : "";
    return `${head}${list.join(", ")}.`;
  });
  return wrapped(`They were counted in parts, with \`coverage.mjs --json\` in \`scripts/accuracy\`;
beside each kind stand the count and the seeds. ${lists.join(" ")}`);
}

/** A paragraph in lines of 80 characters. */
function wrapped(text) {
  const lines = [""];
  for (const word of text.split(/\s+/)) {
    const last = lines[lines.length - 1];
    if (last.length + word.length + 1 > 80) lines.push(word);
    else lines[lines.length - 1] = last === "" ? word : `${last} ${word}`;
  }
  return `\n${lines.join("\n")}`;
}

/** Shares of few returns say little. */
const short = (returns) =>
  returns < 1000 ? ",\nover 1000 returns or more: of kinds with fewer the shares are rough" : "";

/** The page docs/accuracy.md. */
export function accuracyPage(targets, coverage, { returns, seed, counts, idsOf }) {
  const text = accuracyText(targets, coverage);
  const others = targets.filter(({ command }) => command !== undefined);
  const list = others.map(({ what, command }) => `- ${what}: \`${command}\``).join("\n");
  const missed = targets.filter(({ met }) => met === false).map(({ what }) => `- ${what}`);
  return `# How accurate it is

This page is written by \`npm run accuracy -- --write\`, which works out every
figure again. It takes some minutes; \`--returns 50\` is quick and rough.

## Targets

Each figure is compared with an independent reference: a closed form, a
published table or a circuit simulator. The scripts in \`scripts/accuracy\` name
each source.

${text.targets}

Figures that other commands make:

${list}

${missed.length > 0 ? `Missed:\n\n${missed.join("\n")}` : "No target of this table is missed."}

## How often the stated uncertainty holds

Every reading states an interval that contains the true value with 95 %
probability. How often it does is counted on random returns whose true values
are known, with random gain, filters, distortion, noise (white and with a share
of 1/f), mains lines, offset, clock within ±200 ppm, at 44.1, 48 and 96 kHz.${howMany(returns, seed, counts, idsOf)}
The goal is 93 to 98 %${short(returns)}.
The column "held" is how often, in per cent, the interval contains the true
value; "bound" is how often it lies within a figure given as a bound, which may
be more often. Points of one curve are not independent: they share its return.

"± %" shows how useful the interval is: the median ± in per cent of the scatter
of healthy siblings, 95 of 100 of which lie within the practical floor (or, for
a reading that is not ranked, within the change that is of no concern). Up to 50
% it hardly matters in a comparison; above, it is called wide.

Besides whole returns of ordinary paths, harder kinds are counted:

- headroom with memory: a coupling capacitor charged by a rectifying input, fast
  limiters, slewing, a supply that sags, with the steady sine computed step by
  step at four times the rate;
- corners of one to six capacitors or filters under hum up to 60 dB above the
  hiss;
- responses of other shapes: brick walls, steep filters, shelves, peaks;
- paths through an interface that has corners, slope and ripples of its own,
  after its calibration, with noise, hum and distortion on both sides of it;
- silences with mains lines anywhere among 1 to 40, with a dimmer's comb to 10
  kHz, recorded in 16 bits, or without lines, in noise that is 1/f up to 10 kHz;
- tones in such noise, and tones with a mains line on them;
- one to four capacitors in series with lines of 50 and 60 Hz at all rates from
  44.1 to 192 kHz, as they are ("all rates") and calibrated ("cal. rates", the
  interface's response being its output's or its input's);
- both sides of a bus, and crosstalk, at 44.1, 88.2, 96 and 192 kHz, one of them
  late ("rates");
- loopback or round in 16 bits and the other not ("other words").

${text.coverage}

Of rows of ${asked.of} and more:
${listOutside(coverage)}

- \`clicks\`, \`breaks\` and \`polarity\` are counts and signs: they are right or
  wrong, and have no interval that could be narrower.
- \`clipSide\` says which half-wave clips first; its uncertainty allows for phases
  turned by filters, which are small in these returns, so it always holds.
- \`headroom with memory\` states only that 1 % was reached between two steps; so
  it mostly holds, and is as wide as the distance between the steps. It cannot
  be narrowed, because the steps do not show what such a path does between them.
- Corners nearly always hold: one capacitor and several in series fit a droop
  equally well, and the interval covers them all. It is narrow all the same.
- \`instability\`, \`instability100\`, \`stereoPhase\`, \`strayTone\` and \`strayToneHz\`
  have a floor for rounding, settling and the window (0.00002 dB, 0.0002°, 0.05
  dB, 0.05 Hz). If noise adds less than that they always hold, otherwise as
  often as they should.
- \`headroom\` allows 0.009 dB, and 0.004 dB for each decibel below the step, for
  reconstructing the waveform. Sharp bends need that, soft ones mostly less.
- \`linearity\` is the largest of several steps. If noise makes the noisiest step
  look smaller than it is, another step is read, correctly; the interval misses
  only if noise makes it look larger, which is half as often.
- \`distortion curve\` allows for filters ahead of the nonlinearity, which most of
  these returns do not have; and noise matters less in the sum of nine
  harmonics.
- \`dc\` holds more often in ordinary returns, whose noise is flat below 4 Hz; its
  interval allows for noise that rises down to 0.1 Hz, as 1/f noise does.
- \`thd at a line\`, \`harmonic2 at a line\`: only the phase of a mains line on a
  harmonic is unknown, and its effect is at most √2 standard deviations; the
  interval is two of them, so it always holds.
- \`hiss\` is a bound if a single line may be a mains line or a whistle.
- \`hiss calibrated\`: a loopback does not show how an interface's noise divides
  between its output and its input. The interval holds at both ends, as in "cal.
  rates", where all noise is the input's; in between it always holds.
- "Other words": it cannot be seen whether a recorder dithers its 16 bits. The
  interval covers both, so it nearly always holds.
- A calibrated reading is a bound if the interface hides the path; the estimates
  that remain are the easier ones, so they hold more often.
- A filter that begins beyond the sweep cannot be seen: the brick walls and
  steep filters tried have lost 0.5 dB at 20 kHz.
- \`noise468\` has no closed form; its true value is what a meter of another
  circuit, whose time constants were fitted to the tables of BS.468-4
  separately, reads in four minutes of white noise. Agreement with the tables is
  tested on bursts. "Of whistles": a steady tone through the network, often
  locked to the clock; the interval is that of hiss, so it always holds.
- \`mains lock\` counts frequencies found where there is no line, or beside it.
- Level, gain, noise and equivalent input noise in dBu, with the uncertainty of
  the meter and the interface taken out, are counted in
  \`tests/measure/calibration\`.
- Left out are response points where the products of the test path's polynomial
  alias at half the sample rate onto the sweep, and harmonics above 4 kHz, for
  the same reason. No converter does that to what it records.
`;
}

/** Writes the page. */
export function writePage(page) {
  writeFileSync(new URL("../../docs/accuracy.md", import.meta.url), page);
}

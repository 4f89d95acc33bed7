import { median } from "../../../dsp/robust.js";
import type { Round, RoundCapture } from "../../../history/types.js";
import { readingKinds } from "../../../measure/reading-kinds.js";
import type { Reading } from "../../../measure/types.js";
import type { Segment, SignalTable } from "../../../signal/types.js";
import { formatCount } from "../../../text/format-count.js";
import { formatHertz } from "../../../text/format-hertz.js";
import { formatSigned } from "../../../text/format-signed.js";
import { toDifferenceUnit } from "../../../text/level-units.js";
import { formatReading, getDecimals } from "../../format-reading.js";
import { formatDriftedReading, formatReference } from "../../format-reference.js";
import { html, type Markup } from "../markup.js";
import { findSignalTable, getBaseName } from "../names.js";
import { appendUnit, formatDay } from "../values.js";
import type { View } from "../view.js";
import { formatMoment } from "./measured.js";

/** How the readings of the page were made. */
export function renderMeasurementSection(view: View, cautions: readonly string[]): Markup {
  const { round } = view;
  return html`<section id="measurement"><h2>The measurement</h2>
${signalPart(round)}${referencePart(round)}${calibrationPart(round)}${uncertaintyPart(round)}${captureSectionPart(round)}${missingPart(view)}
<h3 id="cautions">Cautions</h3><ul class="cautions">${cautions.map((line) => html`<li>${line}</li>`)}</ul>
<p class="soft">Made by ${round.tool.name} ${round.tool.version} from round ${round.id} of ${formatDay(round.date)}.</p>
</section>`;
}

function signalPart({ signal }: Round): Markup {
  const { profile, band, version, sampleRate, nominalDbfs } = signal;
  const table = findSignalTable(signal);
  const long = table === undefined ? "" : ` ${table.lengthS.toFixed(1)} s long,`;
  return html`<h3>Signal</h3><p>${profile}, version ${version}, band ${band},${long} recorded at ${sampleRate / 1000} kHz; tones at ${formatSigned(String(nominalDbfs))} dBFS.</p>${table && segmentTable(table)}`;
}

/** The path past all strips: what bus and interface measured without them, first and last. */
function referencePart({ reference }: Round): Markup | undefined {
  if (reference === undefined) return undefined;
  const { turns, drift } = reference;
  const rows = readingKinds.flatMap(({ id, name }) => {
    if (!turns.some(({ readings }) => readings[id])) return [];
    return [
      html`<tr><th scope="row">${name}</th>${turns.map(({ readings }) => html`<td class="n">${readings[id] === undefined ? "–" : formatReading(readings[id])}</td>`)}</tr>`,
    ];
  });
  const changed = (drift?.readings ?? []).map((one) => html`<li>${formatDriftedReading(one)}</li>`);
  const failed = turns.flatMap(({ turn, status, reason = status }) =>
    status === "measured" ? [] : [html`<li>${turn}: ${reason}</li>`],
  );
  return html`<h3 id="reference">Reference path</h3><p>${formatReference(reference)}</p>${changed.length + failed.length === 0 ? "" : html`<ul>${changed}${failed}</ul>`}${
    rows.length === 0
      ? ""
      : html`<div class="wide" role="region" aria-label="Reference path, scrolls sideways" tabindex="0"><table><thead><tr><th scope="col">reading</th>${turns.map(({ turn }) => html`<th scope="col" class="n">${turn}</th>`)}</tr></thead><tbody>${rows}</tbody></table></div>`
  }`;
}

function segmentTable({ segments }: SignalTable): Markup {
  return html`<table><thead><tr><th scope="col">part</th><th scope="col" class="n">from, s</th><th scope="col" class="n">length, s</th><th scope="col">what plays</th></tr></thead><tbody>${segments.map(
    (segment) =>
      html`<tr><th scope="row">${segment.name}</th><td class="n">${segment.startS.toFixed(2)}</td><td class="n">${segment.lengthS.toFixed(2)}</td><td>${contents(segment)}</td></tr>`,
  )}</tbody></table>`;
}

function contents(segment: Segment): string {
  switch (segment.kind) {
    case "marker":
      return "two chirps that mark its start";
    case "silence":
      return "silence: noise, hum, clicks";
    case "pips":
      return `${formatHertz(segment.frequencyHz)}, to count in`;
    case "sweep":
      return `${formatHertz(segment.fromHz)} to ${formatHertz(segment.toHz)}: response, harmonics, polarity`;
    case "tone":
      return `${formatHertz(segment.frequencyHz)}`;
    case "twin":
      return `${formatHertz(segment.lowHz)} and ${formatHertz(segment.highHz)} together`;
    case "steps": {
      const low = formatSigned(String(Math.min(...segment.levelsDbfs)));
      const high = formatSigned(String(Math.max(...segment.levelsDbfs)));
      if (low === high) return `${formatHertz(segment.frequencyHz)} at ${high} dBFS`;
      return `${formatHertz(segment.frequencyHz)} at ${formatCount(segment.levelsDbfs.length, "level")}, ${low} to ${high} dBFS`;
    }
  }
}

function calibrationPart({ calibration }: Round): Markup {
  if (calibration === null) {
    return html`<h3>Calibration</h3><p>None: levels are in dBFS and gains relative, and the interface's own noise and distortion are included in every figure.</p>`;
  }
  const { date, volts, outputFullScale, inputs, warnings } = calibration;
  const kinds = readingKinds.filter(({ listedForInterface }) => listedForInterface);
  return html`<h3>Calibration and limits of the interface</h3><p>Of ${formatDay(date)}: ${formatReading({ ...volts.output, unit: "V" })} at the output (meter ±${volts.meterPercent} %); output full scale ${formatReading(outputFullScale)}. The interface alone measures:</p>
<div class="wide" role="region" aria-label="Limits of the interface, scrolls sideways" tabindex="0"><table><thead><tr><td></td>${inputs.map(({ channel }) => html`<th scope="col" class="n">input ${channel + 1}</th>`)}</tr></thead><tbody><tr><th scope="row">full scale</th>${inputs.map(({ fullScale }) => html`<td class="n">${formatReading(fullScale)}</td>`)}</tr>${kinds.map(
    ({ id, name }) =>
      html`<tr><th scope="row">${name}</th>${inputs.map(({ readings }) => html`<td class="n">${readings[id] === undefined ? "–" : formatReading(readings[id])}</td>`)}</tr>`,
  )}</tbody></table></div>${warnings.length === 0 ? "" : html`<ul>${warnings.map((line) => html`<li>${line}</li>`)}</ul>`}`;
}

function uncertaintyPart({ paths }: Round): Markup {
  const rows = readingKinds.flatMap(({ id, name, least, harm, values }) => {
    const all = paths.flatMap(({ readings }) => readings[id] ?? []);
    if (all.length === 0 || values) return [];
    const usual = median(all.map(({ uncertainty }) => uncertainty));
    const [{ unit }] = all;
    const concern =
      harm === "none" || least === 0 ? "–" : appendUnit(String(least), toDifferenceUnit(unit));
    return [
      html`<tr><th scope="row">${name}${id === name ? "" : html` <code>${id}</code>`}</th><td class="n">${all.length}</td><td class="n">${doubtText(usual, toDifferenceUnit(unit))}</td><td class="n">${limited(all, "noise")}</td><td class="n">${limited(all, "interface")}</td><td class="n">${concern}</td></tr>`,
    ];
  });
  return html`<h3>Uncertainties and limits</h3><div class="wide" role="region" aria-label="Uncertainties, scrolls sideways" tabindex="0"><table class="uncertainties"><caption>Expanded uncertainty (95 %), the median of all paths; how many readings are limited by noise or by the interface; the smallest difference that matters; next to a name, its id in limits and JSON.</caption><thead><tr><th scope="col">reading</th><th scope="col" class="n">paths</th><th scope="col" class="n">uncertainty</th><th scope="col" class="n">by noise</th><th scope="col" class="n">by interface</th><th scope="col" class="n">matters from</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

/** Nobody needs to read less than a thousandth. */
const leastShown = 0.001;

function doubtText(uncertainty: number, unit: string): string {
  if (uncertainty < leastShown) return appendUnit(`< ${leastShown}`, unit);
  return `± ${appendUnit(uncertainty.toFixed(Math.max(1, getDecimals(uncertainty))), unit)}`;
}

function limited(readings: readonly Reading[], by: "noise" | "interface"): string {
  const count = readings.filter(({ limitedBy }) => limitedBy === by).length;
  return count === 0 ? "" : String(count);
}

function captureSectionPart(round: Round): Markup {
  return html`<h3>Recordings</h3><div class="wide" role="region" aria-label="Recordings, scrolls sideways" tabindex="0"><table class="captures stack"><caption>The recordings, with the start of their checksum (SHA-256); problems are those of the recording, not of the desk.</caption><thead><tr><th scope="col">file</th><th scope="col">paths</th><th scope="col" class="n">length</th><th scope="col">format</th><th scope="col" class="n">clock, ppm</th><th scope="col">problems</th><th scope="col">checksum</th></tr></thead><tbody>${round.captures.map(
    (capture) => captureRow(round, capture),
  )}</tbody></table></div>`;
}

const mostPaths = 4;

function captureRow({ paths }: Round, capture: RoundCapture): Markup {
  const { file, sampleRate, bits, channels, frames, sha256 } = capture;
  const held = paths.filter(({ take }) => take?.file === file);
  const names = held.slice(0, mostPaths).map(({ path }) => path);
  const more = held.length > mostPaths ? ` and ${held.length - mostPaths} more` : "";
  const drifts = held.flatMap(({ take }) => take?.driftPpm ?? []);
  const drift = drifts.length === 0 ? "" : formatSigned(median(drifts).toFixed(1));
  const marks = held.flatMap(({ marks: all = [] }) => all);
  const count = (kind: string) => marks.filter((mark) => mark.kind === kind).length;
  const trouble = [
    count("clipped") > 0 ? "clipped" : "",
    count("dropout") > 0 ? formatCount(count("dropout"), "dropout") : "",
    ...held.flatMap(({ status, path }) => (status === "unusable" ? [`${path} unusable`] : [])),
  ].filter((word) => word !== "");
  const form = `${sampleRate / 1000} kHz, ${bits} bit${channels === 1 ? "" : `, ${channels} channels`}`;
  return html`<tr><th scope="row">${getBaseName(file)}</th><td data-l="paths">${names.join(", ")}${more}</td><td class="n" data-l="length">${formatMoment(frames / sampleRate)}</td><td data-l="format">${form}</td><td class="n" data-l="clock, ppm">${drift}</td><td data-l="problems">${trouble.length === 0 ? "none" : trouble.join(", ")}</td><td data-l="checksum"><code>${sha256.slice(0, 12)}</code></td></tr>`;
}

function missingPart({ paths }: View): Markup {
  const missing = paths.filter(({ path }) => path.status !== "measured");
  return html`<h3>Missing paths</h3>${
    missing.length === 0
      ? html`<p>None: all ${formatCount(paths.length, "path")} were measured.</p>`
      : html`<ul>${missing.map(
          ({ path, number }) =>
            html`<li><a href="#p${number}">${path.path}</a>, ${path.status}: ${path.reason ?? "no return was assigned to it"}</li>`,
        )}</ul>`
  }`;
}

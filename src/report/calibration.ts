import type { Calibration } from "../history/types.js";
import type { InputCalibration } from "../measure/calibration/types.js";
import { readingKinds } from "../measure/reading-kinds.js";
import type { Curve, Reading } from "../measure/types.js";
import { formatCount } from "../text/format-count.js";
import { formatSigned } from "../text/format-signed.js";
import { formatReading } from "./format-reading.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** What a calibration found out about the interface, as plain text. */
export function renderCalibration(calibration: Calibration, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong, doubt } = createPalette(style);
  const { desk, date, signal, volts, outputFullScale, inputs, warnings } = calibration;
  const { output, input, meterPercent } = volts;
  const at = `1 kHz tone at ${formatSigned(String(signal.nominalDbfs))} dBFS`;
  const metered = `${formatReading({ ...output, unit: "V" })} at the output`;
  const behindPad =
    input.value === output.value ? "" : `, ${formatReading({ ...input, unit: "V" })} at the input`;
  return [
    strong(`Calibration for ${desk.name}, ${date.slice(0, 10)}`),
    "",
    ...wrapText(
      `${signal.profile} signal, ${signal.sampleRate / 1000} kHz. ${at}: ${metered}${behindPad} (meter ±${meterPercent} %).`,
      width,
    ),
    "",
    row("output", "full scale", formatReading(outputFullScale)),
    ...inputs.flatMap((one) => inputLines(one)),
    ...(warnings.length === 0
      ? []
      : ["", doubt("Warnings"), ...warnings.flatMap((w) => wrapText(w, width, "  - ", "    "))]),
    "",
    ...wrapText(
      "Leave the gain of every input and the sample rate as they are until the round is recorded: the calibration is valid for these settings only. If you change one, calibrate again.",
      width,
    ),
    "",
  ].join("\n");
}

function inputLines({ channel, returns, fullScale, readings, curves }: InputCalibration) {
  const name = `input ${channel + 1}`;
  const inDbu = (reading: Reading): Reading =>
    reading.unit === "dBFS"
      ? { ...reading, value: reading.value + fullScale.value, unit: "dBu" }
      : reading;
  const own = readingKinds
    .filter(({ listedForInterface }) => listedForInterface)
    .flatMap((kind) => {
      const reading = readings[kind.id];
      return reading ? [row("", kind.name, formatReading(inDbu(reading)))] : [];
    });
  return [
    row(name, "full scale", `${formatReading(fullScale)}, from ${formatCount(returns, "return")}`),
    ...(curves.response ? [row("", "response", responseWords(curves.response))] : []),
    ...own,
  ];
}

/** "−0.12 to 0.01 dB, 20 Hz to 20 kHz". */
function responseWords({ x, y }: Curve): string {
  const audio = y.filter((_, i) => x[i] <= 20_000);
  const decibels = (value: number) => formatSigned(value.toFixed(2));
  return `${decibels(Math.min(...audio))} to ${decibels(Math.max(...audio))} dB relative to 1 kHz, 20 Hz to 20 kHz`;
}

function row(subject: string, what: string, value: string): string {
  return `${subject.padEnd(10)}${what.padEnd(24)}${value}`;
}

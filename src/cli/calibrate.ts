import type { Command } from "commander";
import { formatRecordingKinds } from "../desk/recording-kinds.js";
import type { MeterReading } from "../measure/calibration/meter.js";
import {
  type CommonOptions,
  parseCalendarDay,
  parseNumber,
  parseWrittenNumber,
  withCommonOptions,
} from "./options.js";
import { getReportStyle, printJson, printMessage, printReport } from "./output.js";
import { withProgress } from "./progress.js";

interface CalibrateOptions extends CommonOptions {
  readonly outputVolts: MeterReading;
  readonly inputVolts?: MeterReading;
  readonly meterPercent: number;
  readonly date?: string;
  readonly json?: true;
}

/** Uncertainty of an ordinary multimeter on AC volts at 1 kHz (common practice). */
const usualPercent = 1;

/** The command `calibrate`. */
export function addCalibrate(program: Command): void {
  withCommonOptions(program.command("calibrate"))
    .description("measure the interface's own scale, response and noise from a loopback")
    .argument(
      "<loopbacks...>",
      `recordings of the signal (${formatRecordingKinds()}), output into input`,
    )
    .requiredOption(
      "--output-volts <volts>",
      "what a true r.m.s. meter shows at the output while the 1 kHz tone plays",
      meterReading,
    )
    .option(
      "--input-volts <volts>",
      "the same at the input, if a pad is in between (default: as at the output)",
      meterReading,
    )
    .option(
      "--meter-percent <percent>",
      "the meter's uncertainty (95 %), per cent",
      (text) => parseNumber(text, "per cent", "%", "percent"),
      usualPercent,
    )
    .option("--date <day>", "day of the loopback, YYYY-MM-DD (default: today)", parseCalendarDay)
    .option("-j, --json", "print the calibration as JSON")
    .action(async (captures: string[], options: CalibrateOptions) => {
      const { json, inputVolts, date, ...rest } = options;
      const { calibrate } = await import("../jobs/calibrate.js");
      const request = {
        ...rest,
        captures,
        ...(inputVolts === undefined ? {} : { inputVolts }),
        ...(date === undefined ? {} : { date }),
      };
      const { calibration, file, wrote } = await withProgress((onProgress) =>
        calibrate(request, onProgress),
      );
      printMessage(
        wrote === "new" ? `Wrote ${file}.` : `Wrote ${file} and replaced the earlier one.`,
      );
      if (json) return printJson(calibration);
      const { renderCalibration } = await import("../report/calibration.js");
      printReport(renderCalibration(calibration, getReportStyle()));
    });
}

/** A number as a meter shows it; its last digit gives the resolution. */
function meterReading(text: string): MeterReading {
  const { value, unit, step } = parseWrittenNumber(text, "volts", "V", "volt", "mV", "VAC");
  const scale = unit === "mV" ? 1e-3 : 1;
  return { volts: value * scale, stepVolts: step === 1 && scale === 1 ? 0 : step * scale };
}

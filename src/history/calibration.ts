import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { assertOwnFile, type OwnKind } from "../assert-own-file.js";
import { DeskroundError } from "../errors.js";
import { readRegularFile } from "../read-regular-file.js";
import { formatCommand } from "../text/program-name.js";
import { writeFileAtomic } from "../write-file-atomic.js";
import { formatJson } from "./format-json.js";
import { formatIssuePath } from "./issue-place.js";
import { roundCurves, roundReading, roundReadings, roundSignificant } from "./round-for-storage.js";
import type { Calibration, UsedCalibration, Volts } from "./types.js";

/** Version of the calibration file that this program writes, and the newest it can read. */
const newestVersion = 1;
const figures = 7;
/** Far more than any calibration needs, bytes. */
const largestCalibration = 100_000_000;

const calibrationKind: OwnKind = {
  what: "calibration",
  isOwn: (head) => /^\{\s*"format": "deskround-calibration"/.test(head.toString("utf8")),
};

/** The file that holds a desk's calibration. */
export function getCalibrationFile(folder: string): string {
  return join(folder, "calibration.json");
}

/**
 * Checks that a calibration could be stored, before a loopback is measured for it.
 *
 * @throws DeskroundError `cannot-write` if a file of its name is not a calibration of this
 *   program, or is protected
 */
export function assertCalibrationReplaceable(folder: string): void {
  assertOwnFile(getCalibrationFile(folder), calibrationKind);
}

/** Whether a desk has a calibration, sound or not. */
export function hasCalibration(folder: string): boolean {
  return existsSync(getCalibrationFile(folder));
}

/**
 * Stores a calibration as `calibration.json`, whole or not at all; an earlier one is replaced.
 * Rounds measured with the earlier one keep their own copy of it.
 *
 * @param folder the desk's folder
 * @returns the calibration as it is on disk, its numbers rounded
 * @throws DeskroundError `cannot-write`
 */
export function storeCalibration(folder: string, calibration: Calibration): Calibration {
  const kept = rounded(calibration);
  writeFileAtomic(getCalibrationFile(folder), formatJson(kept), calibrationKind);
  return kept;
}

/**
 * Reads a desk's calibration and checks it.
 *
 * @returns undefined if there is none
 * @throws DeskroundError `calibration-file`: written by a newer program, damaged, or not readable
 */
export async function readCalibration(folder: string): Promise<UsedCalibration | undefined> {
  const file = getCalibrationFile(folder);
  const text = textOf(file);
  if (text === undefined) return undefined;
  const data = parsed(file, text);
  const { format, version } = Object(data) as { format?: unknown; version?: unknown };
  if (format !== "deskround-calibration") throw damaged(file, "it is not marked as a calibration");
  if (typeof version === "number" && version > newestVersion) {
    throw new DeskroundError(
      "calibration-file",
      `${file} was written by a newer deskround (calibration version ${version}, known up to ${newestVersion}).`,
      "Use that deskround, or calibrate again with this one.",
    );
  }
  const { calibrationSchema } = await import("./calibration-schema.js");
  const result = calibrationSchema.safeParse(data);
  if (!result.success) {
    const [issue] = result.error.issues;
    throw damaged(file, `${formatIssuePath(issue?.path ?? [])}: ${issue?.message}`);
  }
  const calibration: Calibration = result.data;
  return { ...calibration, sha256: createHash("sha256").update(text).digest("hex") };
}

function textOf(file: string): string | undefined {
  try {
    return readRegularFile(file, largestCalibration).toString("utf8");
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR") return undefined;
    throw new DeskroundError(
      "calibration-file",
      `Cannot read ${file} (${code ?? (error as Error).message}).`,
      `Check its permissions, or leave the calibration out with --uncalibrated.`,
      error,
    );
  }
}

function parsed(file: string, text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw damaged(file, "it is not complete JSON", error);
  }
}

function damaged(file: string, what: string, cause?: unknown): DeskroundError {
  return new DeskroundError(
    "calibration-file",
    `The calibration ${file} is damaged: ${what}.`,
    `Make it again with \`${formatCommand("calibrate")}\`, or leave it out with --uncalibrated.`,
    cause,
  );
}

function rounded(calibration: Calibration): Calibration {
  const { volts, outputFullScale, inputs } = calibration;
  return {
    ...calibration,
    volts: { ...volts, output: roundedVolts(volts.output), input: roundedVolts(volts.input) },
    outputFullScale: roundReading(outputFullScale),
    inputs: inputs.map((input) => ({
      ...input,
      fullScale: roundReading(input.fullScale),
      readings: roundReadings(input.readings),
      curves: roundCurves(input.curves),
    })),
  };
}

function roundedVolts({ value, uncertainty }: Volts): Volts {
  return { value: roundSignificant(value, figures), uncertainty: roundSignificant(uncertainty, 3) };
}

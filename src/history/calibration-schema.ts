import * as z from "zod";
import {
  captureSchema,
  curvesSchema,
  deskInfoSchema,
  readingSchema,
  readingsSchema,
  signalSchema,
  toolSchema,
} from "./measured-schema.js";

const volts = z.looseObject({
  value: z.number().positive(),
  uncertainty: z.number().nonnegative(),
});

const input = z.looseObject({
  channel: z.number().int().nonnegative(),
  returns: z.number().int().positive(),
  fullScale: readingSchema,
  readings: readingsSchema,
  curves: curvesSchema,
});

/** What both the file and a round's copy of it hold. */
export const calibrationShape = {
  format: z.literal("deskround-calibration"),
  version: z.literal(1),
  date: z.string(),
  desk: deskInfoSchema,
  tool: toolSchema,
  signal: signalSchema,
  volts: z.looseObject({ output: volts, input: volts, meterPercent: z.number().positive() }),
  outputFullScale: readingSchema,
  inputs: z.array(input).min(1),
  captures: z.array(captureSchema),
  warnings: z.array(z.string()),
};

/** The shape of calibration.json. */
export const calibrationSchema = z.looseObject(calibrationShape);

/** The same in a round, with the checksum of the file that was used. */
export const usedCalibrationSchema = z.looseObject({ ...calibrationShape, sha256: z.string() });

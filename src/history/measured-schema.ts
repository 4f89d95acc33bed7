import * as z from "zod";

/** A reading as files keep it. Unknown keys are let pass: they say more, never otherwise. */
export const readingSchema = z.looseObject({
  value: z.number(),
  unit: z.string(),
  uncertainty: z.number().nonnegative(),
  common: z.number().nonnegative().exactOptional(),
  limitedBy: z.enum(["noise", "interface"]).exactOptional(),
  bound: z.enum(["upper", "lower"]).exactOptional(),
});

/**
 * A list of numbers, looked through by a plain loop: rounds hold hundreds of thousands, and a schema
 * for each of them costs more than all the rest of reading a round.
 */
const numbers = z
  .any()
  .refine(areNumbers, { message: "should be a list of numbers" })
  .meta({ type: "array", items: { type: "number" } }) as unknown as z.ZodType<readonly number[]>;

function areNumbers(value: unknown): boolean {
  if (!Array.isArray(value)) return false;
  for (let i = 0; i < value.length; i++) {
    if (typeof value[i] !== "number" || !Number.isFinite(value[i])) return false;
  }
  return true;
}

export const curveSchema = z
  .looseObject({
    x: numbers,
    y: numbers,
    uncertainty: numbers,
    xUnit: z.literal("Hz"),
    yUnit: z.string(),
    floor: numbers.exactOptional(),
  })
  .refine(({ x, y, uncertainty }) => x.length === y.length && x.length === uncertainty.length, {
    message: "the lists of a curve should be of equal length",
  });

export const captureSchema = z.looseObject({
  file: z.string(),
  sha256: z.string(),
  sampleRate: z.number(),
  bits: z.number(),
  channels: z.number(),
  frames: z.number(),
});

/** Which signal was played, and how fast it was recorded. */
export const signalSchema = z.looseObject({
  id: z.string(),
  version: z.number(),
  profile: z.string(),
  band: z.string(),
  sampleRate: z.number(),
  nominalDbfs: z.number(),
});

export const deskInfoSchema = z.looseObject({
  id: z.string().exactOptional(),
  name: z.string(),
  mainsHz: z.number(),
});
export const toolSchema = z.looseObject({ name: z.literal("deskround"), version: z.string() });

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

export const curveSchema = z
  .looseObject({
    x: z.array(z.number()),
    y: z.array(z.number()),
    uncertainty: z.array(z.number()),
    xUnit: z.literal("Hz"),
    yUnit: z.string(),
    floor: z.array(z.number()).exactOptional(),
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

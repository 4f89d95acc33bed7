import * as z from "zod";

/** The shape of a stored round. Unknown keys are let pass: they say more, never otherwise. */

const reading = z.looseObject({
  value: z.number(),
  unit: z.string(),
  uncertainty: z.number().nonnegative(),
  common: z.number().nonnegative().exactOptional(),
  limitedBy: z.enum(["noise", "interface"]).exactOptional(),
  bound: z.enum(["upper", "lower"]).exactOptional(),
});

const curve = z
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

const finding = z.looseObject({
  reading: z.string(),
  against: z.enum(["siblings", "limit", "baseline"]),
  value: z.number(),
  expected: z.number(),
  deviation: z.number(),
  unit: z.string(),
  score: z.number(),
  severity: z.enum(["remark", "watch", "service"]),
  words: z.string(),
  atHz: z.number().exactOptional(),
});

const cause = z.looseObject({
  cause: z.string(),
  name: z.string(),
  kind: z.enum(["fault", "setting", "patch", "capture"]),
  probability: z.number().min(0).max(1).exactOptional(),
  evidence: z.array(z.string()),
  confirmBy: z.string(),
});

const path = z.looseObject({
  path: z.string(),
  strip: z.string(),
  input: z.string(),
  family: z.string(),
  status: z.enum(["measured", "missing", "unusable"]),
  reason: z.string().exactOptional(),
  take: z
    .looseObject({
      file: z.string(),
      channel: z.number(),
      startSample: z.number(),
      driftPpm: z.number(),
    })
    .exactOptional(),
  readings: z.record(z.string(), reading),
  absent: z.record(z.string(), z.string()),
  curves: z.record(z.string(), curve),
  oddness: z.number(),
  rank: z.number().exactOptional(),
  findings: z.array(finding),
  causes: z.array(cause),
});

const capture = z.looseObject({
  file: z.string(),
  sha256: z.string(),
  sampleRate: z.number(),
  bits: z.number(),
  channels: z.number(),
  frames: z.number(),
});

export const roundSchema = z.looseObject({
  format: z.literal("deskround-round"),
  version: z.literal(1),
  id: z.string(),
  desk: z.looseObject({ name: z.string(), mainsHz: z.number() }),
  date: z.string(),
  tool: z.looseObject({ name: z.literal("deskround"), version: z.string() }),
  signal: z.looseObject({
    id: z.string(),
    version: z.number(),
    profile: z.string(),
    band: z.string(),
    sampleRate: z.number(),
    nominalDbfs: z.number(),
  }),
  calibration: z.null(),
  captures: z.array(capture),
  warnings: z.array(z.string()),
  paths: z.array(path),
});

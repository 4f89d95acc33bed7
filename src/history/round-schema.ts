import * as z from "zod";
import type { FaultPlace } from "../diagnose/types.js";
import type { Doubt } from "../doubt.js";
import { sharedAspects } from "../measure/reading-kind.js";
import type { NotMeasured, TakeFault } from "../not-measured.js";
import { sharedPartKinds } from "../rank/shared/types.js";
import type { Observation } from "../rank/types.js";
import type { Remark } from "../remark.js";
import { usedCalibrationSchema } from "./calibration-schema.js";
import {
  absencesSchema,
  absentSchema,
  captureSchema,
  curvesSchema,
  deskInfoSchema,
  momentSchema,
  readingsSchema,
  signalSchema,
  toolSchema,
} from "./measured-schema.js";

/** The shape of a stored round. Unknown keys are accepted: they add to it, never change it. */

/** The codes and facts of a later version are kept as they are. */
const doubt = z.looseObject({ code: z.string() }) as unknown as z.ZodType<Doubt>;
const remark = z.looseObject({ code: z.string() }) as unknown as z.ZodType<Remark>;
const place = z.looseObject({ code: z.string() }) as unknown as z.ZodType<FaultPlace>;

const notMeasured = z.looseObject({ code: z.string() }) as unknown as z.ZodType<NotMeasured>;
const takeFault = z.looseObject({ code: z.string() }) as unknown as z.ZodType<TakeFault>;

const observation = z.looseObject({ code: z.string() }) as unknown as z.ZodType<Observation>;
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
  observation: observation.exactOptional(),
  elseAs: z.literal("another-input").exactOptional(),
  atHz: z.number().exactOptional(),
  side: z.enum(["left", "right"]).exactOptional(),
});

const cause = z.looseObject({
  cause: z.string(),
  name: z.string(),
  kind: z.enum(["fault", "setting", "patch", "capture"]),
  probability: z.number().min(0).max(1).exactOptional(),
  evidence: z.array(z.string()),
  against: z.array(z.string()).exactOptional(),
  confirmBy: z.string(),
  unlike: z.array(z.string()).exactOptional(),
  where: z.string().exactOptional(),
  place: place.exactOptional(),
  ready: z.string().exactOptional(),
  care: z.string().exactOptional(),
});

const mark = z.discriminatedUnion("kind", [
  z.looseObject({ kind: z.literal("click"), atS: z.number(), overDb: z.number() }),
  z.looseObject({
    kind: z.literal("level-break"),
    segment: z.string(),
    atS: z.number(),
    untilS: z.number(),
    levelDb: z.number(),
  }),
  z.looseObject({
    kind: z.literal("dropout"),
    what: z.enum(["lost", "repeated", "held"]),
    samples: z.number(),
    atS: z.number(),
    untilS: z.number(),
  }),
  z.looseObject({ kind: z.literal("clipped"), atS: z.number(), untilS: z.number() }),
]);

const step = z.looseObject({
  aboveNominalDb: z.number(),
  gainDb: z.number(),
  uncertainty: z.number().nonnegative(),
  distortionDb: z.number().exactOptional(),
});

const take = z.looseObject({
  file: z.string(),
  endsIn: z.string().exactOptional(),
  channel: z.number(),
  output: z.number().int().positive().exactOptional(),
  partnerChannel: z.number().exactOptional(),
  startSample: z.number(),
  driftPpm: z.number(),
  number: z.number().int().positive().exactOptional(),
  chosen: z.enum(["latest", "health", "asked"]).exactOptional(),
});

const otherTake = take.omit({ chosen: true }).extend({
  number: z.number().int().positive(),
  status: z.enum(["measured", "unusable"]),
  reason: z.string().exactOptional(),
  because: takeFault.exactOptional(),
  readings: readingsSchema,
});

/** What a control did while it was moved. */
const control = z.looseObject({
  control: z.string(),
  hand: z.enum(["turn", "slide", "press"]),
  fromS: z.number(),
  untilS: z.number(),
  moved: z.enum(["seen", "not seen"]),
  rangeDb: z.number(),
  scratches: z.looseObject({ tone: z.number(), silence: z.number() }),
  dropouts: z.number(),
  jumps: z.number(),
  expected: z.number(),
  events: z.array(
    z.looseObject({
      kind: z.enum(["scratch", "dropout", "jump", "rustle"]),
      during: z.enum(["tone", "silence"]),
      atS: z.number(),
      lengthS: z.number(),
      levelDb: z.number(),
    }),
  ),
  verdicts: z.array(z.enum(["sound", "scratchy", "drops out", "jumps"])),
  points: z.string().exactOptional(),
  wear: z.enum(["leak", "contact", "track"]).exactOptional(),
});

const path = z.looseObject({
  path: z.string(),
  strip: z.string(),
  input: z.string(),
  family: z.string(),
  status: z.enum(["measured", "missing", "unusable"]),
  reason: z.string().exactOptional(),
  because: notMeasured.exactOptional(),
  take: take.exactOptional(),
  otherTakes: z.array(otherTake).exactOptional(),
  readings: readingsSchema,
  absent: absentSchema,
  absences: absencesSchema.exactOptional(),
  curves: curvesSchema,
  marks: z.array(mark).exactOptional(),
  steps: z.array(step).exactOptional(),
  partner: z
    .looseObject({
      side: z.enum(["left", "right"]),
      readings: readingsSchema,
      absent: absentSchema,
      absences: absencesSchema.exactOptional(),
      curves: curvesSchema,
    })
    .exactOptional(),
  controls: z.array(control).exactOptional(),
  oddness: z.number(),
  rank: z.number().exactOptional(),
  findings: z.array(finding),
  causes: z.array(cause),
});

/** What several paths have in common. */
const shared = z.looseObject({
  part: z.looseObject({
    kind: z.enum(sharedPartKinds),
    name: z.string().exactOptional(),
    strips: z.array(z.string()).exactOptional(),
    side: z.enum(["left", "right"]).exactOptional(),
  }),
  paths: z.array(z.string()),
  findings: z.array(
    z.looseObject({
      reading: z.string(),
      deviation: z.number(),
      unit: z.string(),
      value: z.number(),
      expected: z.number(),
      atHz: z.number().exactOptional(),
      toneHz: z.number().exactOptional(),
    }),
  ),
  aspect: z.enum(sharedAspects),
  against: z.enum(["siblings", "expectation", "baseline", "reference-path", "other-side"]),
  severity: z.enum(["watch", "service"]),
  reference: z.enum(["shows", "partly", "clean"]).exactOptional(),
  cause: z.string().exactOptional(),
  probability: z.number().min(0).max(1).exactOptional(),
  beyondExpectation: z.literal(true).exactOptional(),
});

/** The path that bypasses all strips, measured before and after all others. */
const reference = z.looseObject({
  name: z.string(),
  into: z.enum(["insert", "bus"]),
  turns: z.array(
    z.looseObject({
      turn: z.enum(["first", "last"]),
      status: z.enum(["measured", "unusable"]),
      reason: z.string().exactOptional(),
      because: notMeasured.exactOptional(),
      take,
      readings: readingsSchema,
      absent: absentSchema,
      absences: absencesSchema.exactOptional(),
      curves: curvesSchema,
    }),
  ),
  drift: z
    .looseObject({
      level: z
        .looseObject({
          changeDb: z.number(),
          uncertaintyDb: z.number(),
          course: z.enum(["step", "creep", "unclear"]),
          from: z.string().exactOptional(),
          handled: z.enum(["taken-off", "doubted"]),
          leftDb: z.number(),
          noise: z.enum(["moves", "stays"]),
          taken: z
            .record(
              z.string(),
              z.looseObject({ db: z.number(), uncertainty: z.number(), common: z.number() }),
            )
            .exactOptional(),
        })
        .exactOptional(),
      readings: z.array(
        z.looseObject({
          reading: z.string(),
          first: z.number(),
          last: z.number(),
          change: z.number(),
          uncertainty: z.number(),
          unit: z.string(),
          atHz: z.number().exactOptional(),
        }),
      ),
    })
    .exactOptional(),
});

const sum = z.looseObject({
  paths: z.array(z.string()),
  reading: z.string(),
  unit: z.string(),
  value: z.number(),
  expected: z.number().exactOptional(),
  against: z.enum(["siblings", "earlier"]).exactOptional(),
  verdict: z.enum(["sound", "too-high", "cannot-tell"]),
});

export const roundSchema = z.looseObject({
  format: z.literal("deskround-round"),
  version: z.literal(1),
  id: z.string(),
  desk: deskInfoSchema,
  date: momentSchema,
  tool: toolSchema,
  signal: signalSchema,
  calibration: usedCalibrationSchema.nullable(),
  partial: z.looseObject({ wanted: z.array(z.string()) }).exactOptional(),
  captures: z.array(captureSchema),
  warnings: z.array(z.string()),
  doubts: z.array(doubt).exactOptional(),
  remarks: z.array(z.string()),
  inCommon: z.array(remark).exactOptional(),
  shared: z.array(shared).exactOptional(),
  sums: z.array(sum).exactOptional(),
  reference: reference.exactOptional(),
  paths: z.array(path).check((context) => {
    const seen = new Set<string>();
    for (const { path: name } of context.value) {
      if (seen.has(name)) {
        const message = `the path ${name} is in it twice`;
        context.issues.push({ code: "custom", message, input: context.value });
        return;
      }
      seen.add(name);
    }
  }),
});

import * as z from "zod";
import { sectionKinds } from "../../desk/section-kinds.js";
import { controls, maxNoteLength, symptoms } from "../../diagnose/note-vocabulary.js";

/** Schema of one line of notebook.jsonl. Unknown keys are allowed. */

const text = z.string().max(maxNoteLength);
const id = z.string().regex(/^n[1-9]\d{0,8}$/);
/** The id used by readers: with a letter if two writers used the same number. */
const anyId = z.string().regex(/^n[1-9]\d{0,8}[b-z]*$/);

/** Random, so that lines of two computers never collide; old lines have none. */
const key = z
  .string()
  .regex(/^[0-9a-f]{12}$/)
  .exactOptional();

const head = {
  note: z.literal(1),
  id,
  key,
  date: z.string().regex(/^\d{4}-\d{2}-\d{2}T/),
  who: z.string().max(60).exactOptional(),
};

const place = {
  strip: z.string().exactOptional(),
  input: z.string().exactOptional(),
  /** A section: `group 3`, `master`, `PSU A`. */
  section: z.string().max(40).exactOptional(),
  sectionKind: z.enum(sectionKinds).exactOptional(),
};

const part = z.looseObject({ what: z.string(), count: z.int().min(1) });

export const meterValueSchema = z.looseObject({
  /** `pin 2`, `plus`, `value`. */
  at: z.string(),
  value: z.number(),
  unit: z.enum(["V", "Ω", "F"]),
  /** Nominal value; absent if not given. */
  nominal: z.number().exactOptional(),
  /** Tolerance, in the unit of the value. */
  tolerance: z.number().exactOptional(),
});

const faultLine = z.looseObject({
  ...head,
  kind: z.literal("fault"),
  ...place,
  control: z.enum(controls).exactOptional(),
  symptom: z.enum(symptoms).exactOptional(),
  text,
});

const meterLine = z.looseObject({
  ...head,
  kind: z.literal("meter"),
  ...place,
  what: z.enum(["phantom", "rail", "direct", "resistor", "capacitor"]),
  /** Part or point, as written: `R14`, `gain control`. */
  part: z.string().exactOptional(),
  values: z.array(meterValueSchema).min(1),
  text,
});

const repairLine = z.looseObject({
  ...head,
  kind: z.literal("repair"),
  ...place,
  parts: z.array(part),
  /** Set if all electrolytics were replaced on this day. */
  recapped: z.literal(true).exactOptional(),
  text,
});

/** Something taken off the desk; a `close` line for it says that it is back. */
const offLine = z.looseObject({
  ...head,
  kind: z.literal("off"),
  ...place,
  /** What was taken off, as written: `bottom cover`. */
  what: z.string().min(1).max(60),
  /** A connector or cable that was unplugged; absent for what was taken off. */
  how: z.literal("unplugged").exactOptional(),
  /** Screws and nuts that came off with it. */
  fixings: z.array(part).exactOptional(),
  text,
});

/** Accepted findings of a round: they stay visible but do not count. */
const acceptLine = z.looseObject({
  ...head,
  kind: z.literal("accept"),
  ...place,
  /** The round that they were accepted from. */
  round: z.string(),
  findings: z
    .array(
      z.looseObject({
        path: z.string(),
        reading: z.string(),
        against: z.string(),
        /** As in the round: a finding much further out counts again. */
        deviation: z.number(),
      }),
    )
    .min(1),
  /** Last day on which it is valid, YYYY-MM-DD; absent if it has no end. */
  until: z
    .string()
    .regex(/^\d{4}-\d{2}-\d{2}$/)
    .exactOptional(),
  /** Why. */
  text,
});

/** A path recorded again with one setting changed, and the result. */
const checkLine = z.looseObject({
  ...head,
  kind: z.literal("check"),
  ...place,
  /** The round to whose causes it applies. */
  round: z.string(),
  /** The setting changed, as in `analyze --setting`. */
  check: z.string().max(40),
  outcome: z.enum(["gone", "stays", "idle"]),
  /** Results, one line each. */
  figures: z.array(z.string()),
  text,
});

/** An opening of the desk begins or ends. */
const openingLine = z.looseObject({
  ...head,
  kind: z.literal("opening"),
  event: z.enum(["start", "end"]),
  text,
});

/** Fixings of something that came off, counted when it is refitted. */
const countLine = z.looseObject({
  ...head,
  kind: z.literal("count"),
  /** The line that took it off. */
  counts: anyId,
  /** Its key, which takes precedence over its id. */
  countsKey: key,
  found: z.array(z.looseObject({ what: z.string(), count: z.int().min(0) })),
  text,
});

/** Parts in the stores: added, taken or counted by hand. */
const stockLine = z.looseObject({
  ...head,
  kind: z.literal("stock"),
  event: z.enum(["in", "out", "set"]),
  count: z.int().min(0),
  /** What it is: `electrolytic`, `op amp`. */
  part: z.string().min(1).max(60),
  value: z.number().exactOptional(),
  unit: z.enum(["F", "Ω"]).exactOptional(),
  volts: z.number().exactOptional(),
  /** Price of one, in the owner's currency. */
  price: z.number().min(0).exactOptional(),
  /** Where it was bought, as written. */
  from: z.string().max(60).exactOptional(),
  text,
});

const closeLine = z.looseObject({
  ...head,
  kind: z.literal("close"),
  /** The line it closes; absent for a finding that was never noted. */
  closes: anyId.exactOptional(),
  /** Its key, which takes precedence over its id. */
  closesKey: key,
  ...place,
  /** What was closed, if it was never noted. */
  what: z.string().exactOptional(),
  /** Round that proved it. */
  round: z.string().exactOptional(),
  /** Round that had found it. */
  raisedBy: z.string().exactOptional(),
  figures: z.array(z.string()),
  text,
});

const correctLine = z.looseObject({
  ...head,
  kind: z.literal("correct"),
  corrects: anyId,
  /** Its key, which takes precedence over its id. */
  correctsKey: key,
  ...place,
  /** The new text; absent if unchanged. */
  text: text.exactOptional(),
  /** Set if it belongs to the desk as a whole. */
  wholeDesk: z.literal(true).exactOptional(),
  /** New control and symptom of a fault; null to remove them. */
  control: z.enum(controls).nullable().exactOptional(),
  symptom: z.enum(symptoms).nullable().exactOptional(),
  /** The new day on which it was noticed. */
  noticed: z
    .string()
    .regex(/^\d{4}-\d{2}-\d{2}T/)
    .exactOptional(),
  /** New values of a meter reading, each replacing the one at the same point. */
  values: z.array(meterValueSchema).exactOptional(),
  part: z.string().exactOptional(),
  /** Set if it was closed by mistake. */
  reopened: z.literal(true).exactOptional(),
  /** Set if the note is taken back. */
  withdrawn: z.literal(true).exactOptional(),
});

export const noteLineSchema = z.discriminatedUnion("kind", [
  faultLine,
  meterLine,
  repairLine,
  offLine,
  acceptLine,
  checkLine,
  openingLine,
  countLine,
  stockLine,
  closeLine,
  correctLine,
]);

export type NoteLine = z.infer<typeof noteLineSchema>;
export type MeterValue = z.infer<typeof meterValueSchema>;

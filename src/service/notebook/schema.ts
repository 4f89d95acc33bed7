import * as z from "zod";
import { sectionKinds } from "../../desk/section-kinds.js";
import { controls, maxNoteLength, symptoms } from "../../diagnose/note-vocabulary.js";

/** The shape of one line of notebook.jsonl. Unknown keys are let pass: they say more. */

const text = z.string().max(maxNoteLength);
const id = z.string().regex(/^n[1-9]\d{0,8}$/);
/** As a reader calls a line: with a letter where two writers took one number at once. */
const anyId = z.string().regex(/^n[1-9]\d{0,8}[b-z]*$/);

/** Drawn at random, so that lines of two computers never meet; lines of old have none. */
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
  /** What is not a strip: `group 3`, `master`, `PSU A`. */
  section: z.string().max(40).exactOptional(),
  sectionKind: z.enum(sectionKinds).exactOptional(),
};

const part = z.looseObject({ what: z.string(), count: z.int().min(1) });

export const meterValueSchema = z.looseObject({
  /** `pin 2`, `plus`, `value`. */
  at: z.string(),
  value: z.number(),
  unit: z.enum(["V", "Ω", "F"]),
  /** What it ought to be; absent where nobody has said. */
  nominal: z.number().exactOptional(),
  /** What it may be off, in the unit of the value. */
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
  /** Which part or where, as written: `R14`, `gain control`. */
  part: z.string().exactOptional(),
  values: z.array(meterValueSchema).min(1),
  text,
});

const repairLine = z.looseObject({
  ...head,
  kind: z.literal("repair"),
  ...place,
  parts: z.array(part),
  /** All electrolytics were replaced: they are of this day. */
  recapped: z.literal(true).exactOptional(),
  text,
});

/** Something taken off the desk; a `close` line of it says that it is back. */
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

/** Findings of a round that are known and left alone: they stay visible and no longer count. */
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
        /** As the round has it: a finding much further out is another one. */
        deviation: z.number(),
      }),
    )
    .min(1),
  /** The last day on which it holds, YYYY-MM-DD; absent where it has no end. */
  until: z
    .string()
    .regex(/^\d{4}-\d{2}-\d{2}$/)
    .exactOptional(),
  /** Why. */
  text,
});

/** A path that was recorded again with something turned, and what that showed. */
const checkLine = z.looseObject({
  ...head,
  kind: z.literal("check"),
  ...place,
  /** The round whose causes it weighs. */
  round: z.string(),
  /** What was turned, as `analyze --setting` takes it. */
  check: z.string().max(40),
  outcome: z.enum(["gone", "stays", "idle"]),
  /** What was seen, a line each. */
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

/** Fixings of something that came off, counted when it goes back. */
const countLine = z.looseObject({
  ...head,
  kind: z.literal("count"),
  /** The line that took it off. */
  counts: anyId,
  /** Its key, which goes before its id. */
  countsKey: key,
  found: z.array(z.looseObject({ what: z.string(), count: z.int().min(0) })),
  text,
});

/** Parts in the stores: some come in or go out by hand, or they are counted again. */
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
  /** Of one, in the owner's money. */
  price: z.number().min(0).exactOptional(),
  /** Where it was bought, as written. */
  from: z.string().max(60).exactOptional(),
  text,
});

const closeLine = z.looseObject({
  ...head,
  kind: z.literal("close"),
  /** The line it closes; absent for what a round found and nobody had noted. */
  closes: anyId.exactOptional(),
  /** Its key, which goes before its id. */
  closesKey: key,
  ...place,
  /** What was closed, where no line says it. */
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
  /** Its key, which goes before its id. */
  correctsKey: key,
  ...place,
  /** The words that hold from now on; absent where they stay. */
  text: text.exactOptional(),
  /** It belongs to the desk at large. */
  wholeDesk: z.literal(true).exactOptional(),
  /** Words of a fault that hold from now on; null where it has none. */
  control: z.enum(controls).nullable().exactOptional(),
  symptom: z.enum(symptoms).nullable().exactOptional(),
  /** The day that holds from now on, of what was noted. */
  noticed: z
    .string()
    .regex(/^\d{4}-\d{2}-\d{2}T/)
    .exactOptional(),
  /** Values of a meter reading that hold from now on, each instead of the one at the same point. */
  values: z.array(meterValueSchema).exactOptional(),
  part: z.string().exactOptional(),
  /** It was closed by mistake. */
  reopened: z.literal(true).exactOptional(),
  /** Taken back altogether. */
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

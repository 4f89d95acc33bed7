import * as z from "zod";
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
  text,
});

/** Something taken off the desk; a `close` line of it says that it is back. */
const offLine = z.looseObject({
  ...head,
  kind: z.literal("off"),
  ...place,
  /** What was taken off, as written: `bottom cover`. */
  what: z.string().min(1).max(60),
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
  /** Taken back altogether. */
  withdrawn: z.literal(true).exactOptional(),
});

export const noteLineSchema = z.discriminatedUnion("kind", [
  faultLine,
  meterLine,
  repairLine,
  offLine,
  closeLine,
  correctLine,
]);

export type NoteLine = z.infer<typeof noteLineSchema>;
export type MeterValue = z.infer<typeof meterValueSchema>;

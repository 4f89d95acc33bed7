import * as z from "zod";
import type { Absence } from "../measure/absence.js";

/** A reading as stored in files. Unknown keys are accepted: they add to it, never change it. */
export const readingSchema = z.looseObject({
  value: z.number(),
  unit: z.string(),
  uncertainty: z.number().nonnegative(),
  common: z.number().nonnegative().exactOptional(),
  limitedBy: z.enum(["noise", "interface"]).exactOptional(),
  bound: z.enum(["upper", "lower"]).exactOptional(),
});

/** What is wrong with a value, and where in it. */
interface ShapeFault {
  readonly path: readonly string[];
  readonly message: string;
}

/**
 * Readings or reasons by id, checked in a plain loop: a round of 72 paths has some four
 * thousand, and schemas for each of them cost as much as all the rest of reading a round.
 *
 * @param find what is wrong with one of them
 * @param item their form as a JSON schema
 */
function byId<T>(
  find: (value: unknown) => ShapeFault | undefined,
  item: object,
): z.ZodType<Readonly<Record<string, T>>> {
  return z
    .any()
    .check((context) => {
      const fault = findFaultById(context.value, find);
      if (fault === undefined) return;
      const { path, message } = fault;
      context.issues.push({ code: "custom", input: context.value, path: [...path], message });
    })
    .meta({
      type: "object",
      propertyNames: { type: "string" },
      additionalProperties: item,
    }) as unknown as z.ZodType<Readonly<Record<string, T>>>;
}

function findFaultById(
  value: unknown,
  find: (value: unknown) => ShapeFault | undefined,
): ShapeFault | undefined {
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    return { path: [], message: "should be a block" };
  }
  for (const id in value) {
    const fault = find((value as Readonly<Record<string, unknown>>)[id]);
    if (fault !== undefined) return { ...fault, path: [id, ...fault.path] };
  }
  return undefined;
}

const sides = ["upper", "lower"];
const limits = ["noise", "interface"];

function findReadingFault(value: unknown): ShapeFault | undefined {
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    return { path: [], message: "should be a reading" };
  }
  const reading = value as Readonly<Record<string, unknown>>;
  const fault = (key: string, what: string) => ({ path: [key], message: `should be ${what}` });
  if (!Number.isFinite(reading.value)) return fault("value", "a number");
  if (typeof reading.unit !== "string") return fault("unit", "a text");
  if (!isSize(reading.uncertainty)) return fault("uncertainty", "a number of 0 or more");
  if ("common" in reading && !isSize(reading.common)) {
    return fault("common", "a number of 0 or more");
  }
  if ("limitedBy" in reading && !limits.includes(reading.limitedBy as string)) {
    return fault("limitedBy", limits.join(" or "));
  }
  if ("bound" in reading && !sides.includes(reading.bound as string)) {
    return fault("bound", sides.join(" or "));
  }
  return undefined;
}

const isSize = (value: unknown) => Number.isFinite(value) && (value as number) >= 0;

const number = { type: "number" };
const size = { type: "number", minimum: 0 };

/** Readings by id, each like {@link readingSchema}. */
export const readingsSchema = byId<z.infer<typeof readingSchema>>(findReadingFault, {
  type: "object",
  properties: {
    value: number,
    unit: { type: "string" },
    uncertainty: size,
    common: size,
    limitedBy: { type: "string", enum: limits },
    bound: { type: "string", enum: sides },
  },
  required: ["value", "unit", "uncertainty"],
  additionalProperties: {},
});

/** Why there is no reading, by id. */
export const absentSchema = byId<string>(
  (value) => (typeof value === "string" ? undefined : { path: [], message: "should be a text" }),
  { type: "string" },
);

/** The same as data. */
export const absencesSchema = byId<Absence>(
  (value) =>
    typeof value === "object" && value !== null && "code" in value && typeof value.code === "string"
      ? undefined
      : { path: [], message: "should be a reason with a code" },
  {
    type: "object",
    properties: { code: { type: "string" } },
    required: ["code"],
    additionalProperties: {},
  },
);

/** A curve as stored in files. */
type StoredCurve = {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly uncertainty: readonly number[];
  readonly xUnit: "Hz";
  readonly yUnit: string;
  readonly floor?: readonly number[];
  readonly bounds?: readonly number[];
};

function findCurveFault(value: unknown): ShapeFault | undefined {
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    return { path: [], message: "should be a curve" };
  }
  const curve = value as Readonly<Record<string, unknown>>;
  for (const key of ["x", "y", "uncertainty", "floor", "bounds"]) {
    if ((key === "floor" || key === "bounds") && !(key in curve)) continue;
    if (!areNumbers(curve[key])) return { path: [key], message: "should be a list of numbers" };
  }
  if (curve.xUnit !== "Hz") return { path: ["xUnit"], message: "should be Hz" };
  if (typeof curve.yUnit !== "string") return { path: ["yUnit"], message: "should be a text" };
  const { x, y, uncertainty, bounds } = value as StoredCurve;
  if (x.length !== y.length || x.length !== uncertainty.length) {
    return { path: [], message: "the lists of a curve should be of equal length" };
  }
  if (bounds?.some((i) => !Number.isInteger(i) || i < 0 || i >= x.length)) {
    return { path: ["bounds"], message: "should be positions of points of the curve, from 0" };
  }
  return isAscending(x)
    ? undefined
    : { path: [], message: "a curve should run from low to high frequencies" };
}

function areNumbers(value: unknown): boolean {
  if (!Array.isArray(value)) return false;
  for (let i = 0; i < value.length; i++) {
    if (!Number.isFinite(value[i])) return false;
  }
  return true;
}

const numbers = { type: "array", items: number };

/** Curves by id. */
export const curvesSchema = byId<StoredCurve>(findCurveFault, {
  type: "object",
  properties: {
    x: numbers,
    y: numbers,
    uncertainty: numbers,
    xUnit: { type: "string", const: "Hz" },
    yUnit: { type: "string" },
    floor: numbers,
    bounds: { type: "array", items: { type: "integer", minimum: 0 } },
  },
  required: ["x", "y", "uncertainty", "xUnit", "yUnit"],
  additionalProperties: {},
});

function isAscending(x: readonly number[]): boolean {
  for (let i = 1; i < x.length; i++) if (!(x[i] > x[i - 1])) return false;
  return true;
}

/** A moment, as ISO 8601 writes it with date and time; the date must exist. */
export const momentSchema = z.string().refine(isMoment, {
  message: "should be a date with time, such as 2031-03-14T10:00:00Z",
});

function isMoment(text: string): boolean {
  const day = /^\d{4}-\d{2}-\d{2}(?=T\d{2}:\d{2})/.exec(text)?.[0];
  if (day === undefined || Number.isNaN(Date.parse(text))) return false;
  const time = Date.parse(`${day}T00:00:00Z`);
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(day);
}

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

import * as z from "zod";

/** Strips as written: a count, a range or a name; or a list of ranges and names. */
const strips = z.union([z.string(), z.array(z.string())]);
const level = z.number().min(-80).max(30);

const inputSchema = z.strictObject({
  nominal: level,
  setup: z.string().default(""),
  source: z.number().min(1).max(100_000).optional(),
  strips: strips.optional(),
});

const flowSchema = z.strictObject({
  stages: z.record(z.string(), z.array(z.string()).min(1)).default({}),
  shared: z.record(z.string(), strips).default({}),
});

/** The shape of desk.yaml, with every name of a strip still as text. */
export const deskSchema = z.strictObject({
  version: z.literal(1).default(1),
  name: z.string(),
  mains: z.literal([50, 60]),
  strips,
  inputs: z.record(z.string(), inputSchema),
  families: z.record(z.string(), strips).default({}),
  reference: level.default(4),
  order: z.enum(["by-input", "by-strip"]).default("by-input"),
  flow: flowSchema.default({ stages: {}, shared: {} }),
  phantom: z.literal([48, 24, 12]).default(48),
  rails: z.tuple([z.number().min(1).max(100), z.number().min(-100).max(-1)]).optional(),
});

export type DeskText = z.infer<typeof deskSchema>;

export const deskKeys = Object.keys(deskSchema.shape);
export const inputKeys = Object.keys(inputSchema.shape);
export const flowKeys = Object.keys(flowSchema.shape);

const stripsAllowed = "a range (1-12), names ([1, 2, 3A]) or both ([1-12, 14])";
const levelAllowed = "a number of dBu from -80 to 30, without a unit";

const allowedForDesk: Readonly<Record<keyof DeskText, string>> = {
  version: "1",
  name: "a text",
  mains: "50 or 60, without a unit",
  strips: `a number of strips (24), ${stripsAllowed}`,
  inputs: "one indented block for each input, with its nominal and setup",
  families: "one line for each group: its name, a colon, its strips",
  reference: levelAllowed,
  order: "by-input or by-strip",
  flow: "an indented block with stages, shared or both",
  phantom: "48, 24 or 12, without a unit",
  rails: "the strips' supply rails in volts, the positive one first: [17, -17]",
};

const allowedForFlow: Readonly<Record<keyof DeskText["flow"], string>> = {
  stages: "one line for each input: its name, a colon, its stages ([mic socket, fader])",
  shared: "one line for each part: its name, a colon, the strips that share it",
};
const stagesAllowed = "a list of stages, from the socket on ([mic socket, fader])";

const allowedForInput: Readonly<Record<keyof DeskText["inputs"][string], string>> = {
  nominal: levelAllowed,
  setup: "a text",
  source: "a number of ohms from 1 to 100000, without a unit",
  strips: stripsAllowed,
};

/** What may stand at a place in the file, in words. */
export function allowedAt(path: readonly PropertyKey[]): string {
  const [top, , inner] = path;
  if (top === "inputs" && inner !== undefined) {
    return allowedForInput[inner as keyof typeof allowedForInput];
  }
  if (top === "inputs" && path.length === 2) return "an indented block with nominal and setup";
  if (top === "families" && path.length >= 2) return stripsAllowed;
  if (top === "flow" && path.length >= 2) {
    if (path.length === 2) return allowedForFlow[path[1] as keyof typeof allowedForFlow];
    return path[1] === "stages" ? stagesAllowed : stripsAllowed;
  }
  return allowedForDesk[top as keyof DeskText];
}

/** The keys that may stand at a place in the file. */
export function keysAt(path: readonly PropertyKey[]): readonly string[] {
  if (path.length === 0) return deskKeys;
  return path[0] === "flow" ? flowKeys : inputKeys;
}

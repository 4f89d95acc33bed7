import * as z from "zod";
import { parseDecimal } from "../text/parse-decimal.js";
import { getProgramName } from "../text/program-name.js";
import { audioPrograms } from "./audio.js";
import { defaultConstruction } from "./construction.js";
import { expectationForms } from "./expectations.js";
import { sectionKinds } from "./section-kinds.js";
import { stripPartKinds } from "./shared-kinds.js";

/** Strips as written: a count, a range or a name; or a list of ranges and names. */
const strips = z.union([z.string(), z.array(z.string())]);

/** A number; a decimal comma and these units are accepted. */
function decimal<T extends z.ZodType>(number: T, ...units: readonly string[]) {
  return z.preprocess((written) => {
    if (typeof written !== "string") return written;
    const found = parseDecimal(written);
    const isOwn =
      found?.unit === "" || units.some((unit) => unit.toLowerCase() === found?.unit.toLowerCase());
    return found !== undefined && isOwn ? found.value : written;
  }, number);
}
const level = decimal(z.number().min(-80).max(30), "dBu");

const inputSchema = z.strictObject({
  nominal: level,
  setup: z.string().default(""),
  source: decimal(z.number().min(1).max(100_000), "ohm", "ohms", "Ω", "R").optional(),
  strips: strips.optional(),
  set: z.record(z.string(), z.string()).default({}),
  plug: z.string().optional(),
  pad: decimal(z.number().min(0).max(80), "dB").optional(),
});

const controlKind = z.enum(["knob", "switch", "fader"]);
const controlSchema = z.union([
  controlKind,
  z.strictObject({
    kind: controlKind,
    set: z.string().optional(),
    inputs: z.array(z.string()).min(1).optional(),
  }),
]);

/** A part as its strips, or as a block with strips and kind. */
const sharedPartSchema = z.preprocess(
  (written) => (strips.safeParse(written).success ? { strips: written } : written),
  z.strictObject({ kind: z.enum(stripPartKinds).optional(), strips }),
);

const flowSchema = z.strictObject({
  stages: z.record(z.string(), z.array(z.string()).min(1)).default({}),
  shared: z.record(z.string(), sharedPartSchema).default({}),
});

const audioProgram = z.union([z.enum(audioPrograms), z.array(z.string().min(1)).min(1)]);
const audioSchema = z.strictObject({
  play: audioProgram,
  record: audioProgram,
  output: z.string().min(1).optional(),
  input: z.string().min(1).optional(),
  channels: z.number().int().min(1).max(64).default(1),
});

/** One output that feeds several inputs. */
const splitSchema = z.strictObject({
  split: z.string(),
  pad: z.number().min(0).max(80).default(0),
  leg: z.number().min(1).max(1_000_000),
  source: z.number().min(1).max(100_000),
  output: z.number().min(0).max(10_000).optional(),
  "blocks-phantom": z.boolean().default(false),
});
const outputsSchema = z.union([
  z.number().int().min(1).max(64),
  z.string(),
  z.array(z.union([z.string(), splitSchema])).min(1),
]);

const referencePathSchema = z.strictObject({
  into: z.enum(["insert", "bus"]),
  name: z.string().optional(),
  nominal: level.optional(),
  plug: z.string().optional(),
  setup: z.string().default(""),
  pad: decimal(z.number().min(0).max(80), "dB").default(0),
});
const sectionKind = z.enum(sectionKinds);
const placeSchema = z.union([
  sectionKind,
  z.strictObject({ kind: sectionKind, feeds: strips.optional() }),
]);

const expectationsSchema = z.strictObject({
  hum: z.string().optional(),
  noise: z.string().optional(),
  band: z.string().optional(),
  distortion: z.string().optional(),
  overload: z.string().optional(),
  headroom: z.string().optional(),
  level: z.string().optional(),
});

const minutes = decimal(z.number().min(0).max(6000), "min", "minutes");

const partSchema = z.strictObject({
  strips: strips.optional(),
  minutes,
  kind: z.enum(["cover", "cable", "card"]).default("cover"),
});

const constructionSchema = z.strictObject({
  open: minutes.default(defaultConstruction.openMinutes),
  pull: minutes.default(defaultConstruction.pullMinutes),
  parts: z.record(z.string(), partSchema).default({}),
  values: z.record(z.string(), z.string()).default({}),
});

const year = z.int().min(1950).max(2200);

const ageSchema = z.strictObject({
  installed: year.optional(),
  recapped: z.record(z.string().regex(/^(19|20|21)\d\d$/), strips).default({}),
  powered: decimal(z.number().min(0.1).max(24), "h", "hours").default(8),
  warmer: decimal(z.number().min(-20).max(40), "K", "°C").default(0),
});

/** The structure of desk.yaml, with all strip names still as text. */
export const deskSchema = z.strictObject({
  version: z.literal(1).default(1),
  id: z
    .string()
    .regex(/^[a-z0-9][a-z0-9-]{3,39}$/)
    .optional(),
  name: z.string(),
  mains: decimal(z.literal([50, 60]), "Hz"),
  strips,
  inputs: z.record(z.string(), inputSchema),
  families: z.record(z.string(), strips).default({}),
  reference: level.default(4),
  order: z.enum(["by-input", "by-strip", "fewest"]).default("by-input"),
  controls: z.record(z.string(), controlSchema).optional(),
  channels: strips.optional(),
  outputs: outputsSchema.optional(),
  buses: z.union([z.string(), z.array(z.string()).min(1)]).optional(),
  // Checked by parseCapturePatterns, which can name the line that is wrong.
  captures: z.unknown().optional(),
  flow: flowSchema.default({ stages: {}, shared: {} }),
  "reference-path": referencePathSchema.optional(),
  places: z.record(z.string(), placeSchema).default({}),
  phantom: decimal(z.literal([48, 24, 12]), "V").default(48),
  rails: z
    .tuple([decimal(z.number().min(1).max(100), "V"), decimal(z.number().min(-100).max(-1), "V")])
    .optional(),
  construction: constructionSchema.optional(),
  expectations: expectationsSchema.optional(),
  age: ageSchema.optional(),
  audio: audioSchema.optional(),
});

export type DeskText = z.infer<typeof deskSchema>;

export const deskKeys = Object.keys(deskSchema.shape);
export const inputKeys = Object.keys(inputSchema.shape);
export const referencePathKeys = Object.keys(referencePathSchema.shape);
export const flowKeys = Object.keys(flowSchema.shape);
export const constructionKeys = Object.keys(constructionSchema.shape);
export const partKeys = Object.keys(partSchema.shape);
export const sharedPartKeys = ["kind", "strips"] as const;
export const expectationKeys = Object.keys(expectationsSchema.shape);
export const audioKeys = Object.keys(audioSchema.shape);
export const ageKeys = Object.keys(ageSchema.shape);

const stripsAllowed = "a range (1-12), names ([1, 2, 3A]) or both ([1-12, 14])";
const levelAllowed = "a number of dBu from -80 to 30, e.g. -40.5";

const allowedForDesk: Readonly<Record<keyof DeskText, string>> = {
  version: "1",
  id: `4 to 40 lower-case letters, digits and hyphens, as \`${getProgramName()} init\` wrote it`,
  name: "a text",
  mains: "50 or 60",
  strips: `a number of strips (24), ${stripsAllowed}`,
  inputs: "one indented block for each input, with its nominal and setup",
  families: "one line for each group: its name, a colon, its strips",
  reference: levelAllowed,
  "reference-path":
    "an indented block with into (insert or bus), and if wanted name, nominal, plug, setup and pad",
  order: "by-input, by-strip or fewest",
  controls: "one line for each control of a strip: its name, a colon, its kind",
  channels: "the strips in the order of the recorder's channels (1-24), or paths ([1/mic, 2/mic])",
  outputs:
    "how many outputs are patched by hand (8), or what each is wired to ([1-4/tape, hand, hand]); or a block with split, leg, source, and if wanted pad, output and blocks-phantom",
  buses: "the buses or groups in the order of the recorder's channels ([group 1-8])",
  captures:
    "patterns of file names (<strip> <input>), or one line for each input: its name, a colon, its pattern",
  flow: "an indented block with stages, shared or both",
  places:
    "one line for each part that is not a strip: its name or a range (group 1-8), a colon, its kind",
  phantom: "48, 24 or 12",
  rails: "the strips' supply rails in volts, the positive one first: [17, -17]",
  expectations: "an indented block with hum, noise, band, distortion, overload, headroom and level",
  construction: "an indented block with open, pull, parts and values",
  age: "an indented block with installed, recapped, powered and warmer",
  audio: "an indented block with play and record, and if wanted output, input and channels",
};

const audioProgramAllowed = `${audioPrograms.join(", ")}, or a command as a list of words ([mytool, "{file}"])`;
const allowedForAudio: Readonly<Record<string, string>> = {
  play: audioProgramAllowed,
  record: audioProgramAllowed,
  output: "the name of a device to play on",
  input: "the name of a device to record from",
  channels: "a number of channels from 1 to 64",
};

const allowedForSplit: Readonly<Record<string, string>> = {
  split: "the paths that the output feeds (1-4/mic)",
  pad: "a number of dB from 0 to 80; 0 for none",
  leg: "a number of ohms from 1 to 1000000",
  source: "a number of ohms from 1 to 100000",
  output: "a number of ohms from 0 to 10000",
  "blocks-phantom": "true or false",
};

const minutesAllowed = "a number of minutes from 0 to 6000";

const allowedForConstruction: Readonly<Record<string, string>> = {
  open: minutesAllowed,
  pull: minutesAllowed,
  parts: "one indented block for each part, with its strips, minutes and kind",
  values: "one line for each kind of part: its name, a colon, its value",
};

const allowedForPart: Readonly<Record<string, string>> = {
  strips: stripsAllowed,
  minutes: minutesAllowed,
  kind: "cover, cable or card",
};

const allowedForAge: Readonly<Record<string, string>> = {
  installed: "a year",
  recapped: "one line for each year: the year, a colon, the strips",
  powered: "hours a day, from 0.1 to 24",
  warmer: "kelvins from -20 to 40",
};

const allowedForFlow: Readonly<Record<keyof DeskText["flow"], string>> = {
  stages: "one line for each input: its name, a colon, its stages ([mic socket, fader])",
  shared:
    "one line for each part: its name, a colon, the strips that share it; or a block with kind and strips",
};
const sharedPartAllowed = `${stripsAllowed}; or a block with kind (${stripPartKinds.join(", ")}) and strips`;
const allowedForSharedPart: Readonly<Record<string, string>> = {
  kind: `${stripPartKinds.slice(0, -1).join(", ")} or ${stripPartKinds.at(-1)}`,
  strips: stripsAllowed,
};
const stagesAllowed = "a list of stages, from the socket on ([mic socket, fader])";

const allowedForInput: Readonly<Record<keyof DeskText["inputs"][string], string>> = {
  nominal: levelAllowed,
  setup: "a text",
  source: "a number of ohms from 1 to 100000",
  strips: stripsAllowed,
  set: "one line for each control that differs: its name, a colon, how it is set",
  plug: "a text",
  pad: "a number of dB from 0 to 80; 0 for none",
};
const allowedForReferencePath: Readonly<Record<string, string>> = {
  into: "insert (the mix insert return) or bus (a spare input of the mix bus)",
  name: "one word that is the name of no strip and no input",
  nominal: levelAllowed,
  plug: "a text",
  setup: "a text",
  pad: "a number of dB from 0 to 80; 0 for none",
};
const feedsAllowed = "strips and places that it feeds (1-12), or a list ([1-12, master])";
const placeAllowed = `${sectionKinds.slice(0, -1).join(", ")} or ${sectionKinds.at(-1)}; or a block with kind and feeds`;
const controlAllowed = "knob, switch or fader; or a block with kind, set and inputs";

/** Description of the allowed values at a place in the file. */
export function formatAllowedKeys(path: readonly PropertyKey[]): string {
  const [top, , inner] = path;
  if (top === "inputs" && path.length === 4 && inner === "set") return "a text";
  if (top === "controls" && path.length >= 2) return controlAllowed;
  if (top === "places" && path.length >= 2) {
    return inner === "feeds" ? feedsAllowed : placeAllowed;
  }
  if (top === "inputs" && inner !== undefined) {
    return allowedForInput[inner as keyof typeof allowedForInput];
  }
  if (top === "inputs" && path.length === 2) return "an indented block with nominal and setup";
  if (top === "families" && path.length >= 2) return stripsAllowed;
  if (top === "expectations" && path.length === 2) return expectationForms[String(path[1])];
  if (top === "reference-path" && path.length === 2)
    return allowedForReferencePath[String(path[1])];
  if (top === "audio" && path.length >= 2) return allowedForAudio[String(path[1])];
  if (top === "channels") return allowedForDesk.channels;
  if (top === "outputs" && path.length > 2) return allowedForSplit[String(path[2])];
  if (top === "outputs" || top === "buses") return allowedForDesk[top];
  if (top === "flow" && path.length >= 2) {
    if (path.length === 2) return allowedForFlow[path[1] as keyof typeof allowedForFlow];
    if (path[1] === "stages") return stagesAllowed;
    return path.length === 3 ? sharedPartAllowed : allowedForSharedPart[String(path[3])];
  }
  if (top === "construction" && path.length >= 2) return allowedInConstruction(path);
  if (top === "age" && path.length >= 2) {
    return path.length === 2 ? allowedForAge[String(path[1])] : stripsAllowed;
  }
  return allowedForDesk[top as keyof DeskText];
}

function allowedInConstruction([, key, , inner]: readonly PropertyKey[]): string {
  if (inner !== undefined) return allowedForPart[String(inner)] ?? stripsAllowed;
  return allowedForConstruction[String(key)];
}

/** The keys allowed at a place in the file. */
export function listKeys(path: readonly PropertyKey[]): readonly string[] {
  if (path.length === 0) return deskKeys;
  if (path[0] === "construction") return path.length === 1 ? constructionKeys : partKeys;
  if (path[0] === "age") return ageKeys;
  if (path[0] === "audio") return audioKeys;
  if (path[0] === "outputs") return Object.keys(splitSchema.shape);
  if (path[0] === "expectations") return expectationKeys;
  if (path[0] === "reference-path") return referencePathKeys;
  if (path[0] === "controls") return ["kind", "set", "inputs"];
  if (path[0] === "places") return ["kind", "feeds"];
  if (path[0] === "flow") return path.length === 1 ? flowKeys : sharedPartKeys;
  return inputKeys;
}

import type * as z from "zod";
import { findClosestWord } from "../paths.js";
import { formatAllowedKeys, listKeys } from "../schema.js";
import { didYouMean } from "./did-you-mean.js";
import type { DeskFileIssue } from "./fault.js";

/** Faults in the structure of a desk file. */
export function listShapeFaults(
  issues: readonly z.core.$ZodIssue[],
  data: unknown,
): readonly DeskFileIssue[] {
  const found = issues.flatMap(takeBranch);
  const unknown = found.flatMap(listUnknownKeys);
  const wrong = found.flatMap((issue) => listWrongValues(issue, data));
  // A mistyped key is one fault, not also a missing key.
  const meant = new Set(unknown.map(({ meantPlace }) => meantPlace));
  return [...unknown, ...wrong.filter((fault) => !meant.has(fault.place.join("\n")))];
}

/** For outputs, which have several forms, the fault in the form that was meant. */
function takeBranch(issue: z.core.$ZodIssue): readonly z.core.$ZodIssue[] {
  if (issue.code !== "invalid_union" || issue.path[0] !== "outputs") return [issue];
  const isOther = ([first]: readonly z.core.$ZodIssue[]) =>
    first?.code === "invalid_type" && first.path.length === 0;
  const meant = issue.errors.filter((branch) => !isOther(branch));
  if (meant.length !== 1) return [issue];
  return meant[0]
    .map((inner) => ({ ...inner, path: [...issue.path, ...inner.path] }))
    .flatMap(takeBranch);
}

/** Keys in the wrong place. */
function listUnknownKeys(
  issue: z.core.$ZodIssue,
): (DeskFileIssue & { readonly meantPlace: string })[] {
  if (issue.code !== "unrecognized_keys") return [];
  const known = listKeys(issue.path);
  return issue.keys.map((key) => ({
    place: [...issue.path, key],
    at: "key",
    message: `"${key}" is not a key here.`,
    hint: didYouMean(key, known) ?? `Keys here: ${known.join(", ")}.`,
    meantPlace: [...issue.path, findClosestWord(key, known)].join("\n"),
  }));
}

/** Values that are missing or not allowed. */
function listWrongValues(issue: z.core.$ZodIssue, data: unknown): DeskFileIssue[] {
  if (issue.code === "unrecognized_keys") return [];
  const place = issue.path;
  const last = place.at(-1) ?? "";
  const key =
    typeof last === "number" ? `${String(place.at(-2))}, entry ${last + 1}` : String(last);
  const allowed = formatAllowedKeys(place);
  const value = place.reduce<unknown>((at, step) => Object(at)[step], data);
  if (value === undefined) {
    return [{ place, at: "key", message: `"${key}" is missing.`, hint: `Allowed: ${allowed}.` }];
  }
  const like =
    issue.code === "invalid_value" && typeof value === "string"
      ? didYouMean(value, issue.values.map(String))
      : undefined;
  const message = `"${key}" ${describeValue(value)}; allowed: ${allowed}.`;
  return [{ place, at: "value", message, hint: like }];
}

function describeValue(value: unknown): string {
  if (value === null) return "is left empty";
  if (Array.isArray(value)) return "is a list";
  if (typeof value === "object") return "is a block";
  return `is ${JSON.stringify(value)}`;
}

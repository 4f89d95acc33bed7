import { type Expectations, expectationForms, parseExpectations } from "../expectations.js";
import type { DeskText } from "../schema.js";
import type { DeskFileIssue } from "./fault.js";

/** Reads the desk's expectations; the built-in ones if the file gives no others. */
export function readExpectations(
  text: NonNullable<DeskText["expectations"]>,
  faults: DeskFileIssue[],
): Expectations {
  const written = Object.entries(text).flatMap(([key, value]) =>
    value === undefined ? [] : [[key, value] as const],
  );
  const { expectations, faults: keys } = parseExpectations(Object.fromEntries(written));
  for (const key of keys) {
    const message = `"${key}" is ${JSON.stringify(text[key as keyof typeof text])}; allowed: ${expectationForms[key]}.`;
    faults.push({ place: ["expectations", key], at: "value", message });
  }
  return expectations;
}

// Only some readings of a return: what a kind of return is not asked for need not be worked out.
import { findReadingKind } from "../../dist/measure/reading-kinds.js";
import { createReturnContext } from "../../dist/measure/return-context.js";

/**
 * The readings of these ids as `measureReturn` makes them, each by itself from the same return.
 *
 * @param audio as `measureReturn` takes it
 * @returns { context, readings, absent }; `context` for what curves are wanted besides
 */
export function measureSome(audio, ids) {
  const context = createReturnContext(audio);
  const readings = {};
  const absent = {};
  for (const id of ids) {
    const reading = findReadingKind(id).read(context);
    if ("absent" in reading) absent[id] = reading.absent;
    else readings[id] = reading;
  }
  return { context, readings, absent };
}

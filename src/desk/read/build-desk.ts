import { applyPads } from "../pads.js";
import { listDeskPaths } from "../paths.js";
import { toReferenceEntry } from "../reference-path.js";
import type { DeskText } from "../schema.js";
import type { Desk } from "../types.js";
import type { DeskFileIssue } from "./fault.js";
import { readAge } from "./read-age.js";
import { readAudio } from "./read-audio.js";
import { readCapturePatterns } from "./read-capture-patterns.js";
import { readChannels } from "./read-channels.js";
import { readConstruction } from "./read-construction.js";
import { readControls } from "./read-controls.js";
import { readExpectations } from "./read-expectations.js";
import { readFamilies } from "./read-families.js";
import { readFlow } from "./read-flow.js";
import { readInputs } from "./read-inputs.js";
import { longestName, readLine } from "./read-line.js";
import { readBuses, readOutputs } from "./read-outputs.js";
import { readPlaces } from "./read-places.js";
import { readReferencePath } from "./read-reference-path.js";
import { readStrips } from "./read-strips.js";

/** Builds the desk that the text describes; contradictions are added to `faults`. */
export function buildDesk(text: DeskText, faults: DeskFileIssue[]): Desk {
  const name = readLine(text.name, longestName, ["name"], faults);
  if (name === "") {
    faults.push({ place: ["name"], at: "value", message: `"name" is left empty.` });
  }
  const strips = readStrips(text.strips, faults);
  const controls = readControls(text.controls, Object.keys(text.inputs), faults);
  const inputs = readInputs(text.inputs, strips, controls, faults);
  const groups = readFamilies(text.families, strips, faults);
  const padded = applyPads(inputs, text.reference);
  const paths = listDeskPaths({
    strips,
    inputs: padded,
    order: text.order,
    groups,
    controls,
  });
  const { captures, channels, "reference-path": past } = text;
  const known = {
    strips,
    inputs: inputs.map(({ name: input }) => input),
    referenceDbu: text.reference,
  };
  const referencePath = past === undefined ? undefined : readReferencePath(past, known, faults);
  const named = referencePath === undefined ? paths : [...paths, toReferenceEntry(referencePath)];
  const plainInputs = inputs.map(({ strips: _, ...input }) => input);
  if (text.buses !== undefined && channels !== undefined) {
    faults.push({
      place: ["buses"],
      at: "key",
      message:
        "channels says that the recorder holds a strip on each channel, buses that it holds a bus.",
      hint: "Keep the one that is recorded.",
    });
  }
  return {
    ...(text.id === undefined ? {} : { id: text.id }),
    name,
    mainsHz: text.mains,
    strips,
    inputs: plainInputs,
    referenceDbu: text.reference,
    ...(referencePath === undefined ? {} : { referencePath }),
    order: text.order,
    controls,
    flow: readFlow(
      text.flow,
      inputs.map(({ name: input }) => input),
      strips,
      faults,
    ),
    ...(captures === undefined ? {} : { captures: readCapturePatterns(captures, named, faults) }),
    sections: readPlaces(text.places, strips, faults),
    phantomV: text.phantom,
    ...(text.rails === undefined ? {} : { railsV: text.rails }),
    construction: readConstruction(text.construction, strips, faults),
    ...(text.expectations === undefined
      ? {}
      : { expectations: readExpectations(text.expectations, faults) }),
    ...(text.audio === undefined ? {} : { audio: readAudio(text.audio, faults) }),
    ...(text.age === undefined ? {} : { age: readAge(text.age, strips, faults) }),
    ...(channels === undefined ? {} : { channels: readChannels(channels, paths, faults) }),
    ...(text.outputs === undefined
      ? {}
      : { outputs: readOutputs(text.outputs, paths, padded, faults) }),
    ...(text.buses === undefined ? {} : { buses: readBuses(text.buses, faults) }),
    paths,
  };
}

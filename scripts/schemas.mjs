/**
 * Writes the JSON Schemas of the files that the program writes into docs/, from the schemas that it
 * checks them with. Run after a build: `node scripts/schemas.mjs`.
 */
import { writeFileSync } from "node:fs";
import * as z from "zod";
import { calibrationSchema } from "../dist/history/calibration-schema.js";
import { formatJson } from "../dist/history/format-json.js";
import { roundSchema } from "../dist/history/round-schema.js";
import { noteLineSchema } from "../dist/service/notebook/schema.js";

const published = {
  "calibration.schema.json": calibrationSchema,
  "notebook.schema.json": noteLineSchema,
  "round.schema.json": roundSchema,
};

for (const [name, schema] of Object.entries(published)) {
  writeFileSync(new URL(`../docs/${name}`, import.meta.url), formatJson(z.toJSONSchema(schema)));
}

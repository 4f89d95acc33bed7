/**
 * Writes the JSON Schemas of the files that the program writes into docs/, from the schemas that it
 * checks them with. Run after a build: `node scripts/schemas.mjs`.
 */
import { writeFileSync } from "node:fs";
import * as z from "zod";
import { calibrationSchema } from "../dist/history/calibration-schema.js";
import { layOut } from "../dist/history/layout.js";
import { roundSchema } from "../dist/history/schema.js";
import { noteLineSchema } from "../dist/service/notebook/schema.js";

const published = {
  "calibration.schema.json": calibrationSchema,
  "notebook.schema.json": noteLineSchema,
  "round.schema.json": roundSchema,
};

for (const [name, schema] of Object.entries(published)) {
  writeFileSync(new URL(`../docs/${name}`, import.meta.url), layOut(z.toJSONSchema(schema)));
}

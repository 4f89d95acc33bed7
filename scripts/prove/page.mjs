import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const page = fileURLToPath(new URL("../../docs/diagnosis.md", import.meta.url));
const markers = {
  proved: ["<!-- proved: written by npm run prove -- --write -->", "<!-- end of proved -->"],
  circuits: [
    "<!-- circuits: written by node scripts/prove/circuits.mjs --write -->",
    "<!-- end of circuits -->",
  ],
  topologies: [
    "<!-- topologies: written by npm run prove -- --circuits --write -->",
    "<!-- end of topologies -->",
  ],
  grades: [
    "<!-- grades: written by node scripts/prove/grades.mjs --write -->",
    "<!-- end of grades -->",
  ],
};

/**
 * Puts text between the markers of docs/diagnosis.md.
 *
 * @throws {Error} when the page has no such markers
 */
export function writePage(text, part = "proved") {
  const old = readFileSync(page, "utf8");
  writeFileSync(page, between(old, text, part));
}

/** The page with its part between the markers made anew. */
export function between(old, text, part = "proved") {
  const [begin, end] = markers[part];
  const from = old.indexOf(begin);
  const to = old.indexOf(end, from);
  if (from < 0 || to < 0) throw new Error(`docs/diagnosis.md lacks ${begin} … ${end}.`);
  return `${old.slice(0, from)}${begin}\n\n${text}\n\n${old.slice(to)}`;
}

import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const page = fileURLToPath(new URL("../../docs/performance.md", import.meta.url));

/** Puts figures between the marks of this name in docs/performance.md. */
export function putIntoPage(text, name) {
  const [begin, end] = [`<!-- ${name} -->`, `<!-- ${name} end -->`];
  const old = readFileSync(page, "utf8");
  const [from, to] = [old.indexOf(begin), old.indexOf(end)];
  if (from < 0 || to < from) throw new Error(`docs/performance.md lacks its marks ${begin}`);
  const made = `${begin}\n\n\`\`\`text\n${text}\n\`\`\`\n\n`;
  writeFileSync(page, old.slice(0, from) + made + old.slice(to));
}

/** What a run of `mutate.mjs` found, in words. */

const caught = ["Killed", "Timeout", "RuntimeError"];
const missed = ["Survived", "NoCoverage"];

/**
 * A share and its interval of 95 % (E. B. Wilson, 1927: the score interval).
 *
 * @param {number} hits
 * @param {number} of
 * @returns {{ share: number, low: number, high: number }} from 0 to 1; all of it where `of` is 0
 */
export function computeShare(hits, of) {
  if (of === 0) return { share: Number.NaN, low: 0, high: 1 };
  const z = 1.959964;
  const share = hits / of;
  const middle = (share + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = ((z / (1 + (z * z) / of)) * Math.sqrt(of * share * (1 - share) + (z * z) / 4)) / of;
  return { share, low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

/**
 * @param {readonly object[]} results of `mutate.mjs`
 * @returns {string} what was missed: its place, its line, and the change
 */
export function describeMissed(results) {
  const lines = [];
  for (const result of results) {
    if (caught.includes(result.status) || result.status === "Uncompiled") continue;
    const { file, start, status, original, replacement, text, why, tests } = result;
    const reach = status === "Survived" && tests !== undefined ? ` (${tests} tests reach it)` : "";
    lines.push(`${status} ${file}:${start.line + 1}${reach}`, `    ${text}`);
    lines.push(`    ${oneLine(original)}  →  ${oneLine(replacement)}`);
    if (status === "Equivalent") lines.push(`    ${why}`);
  }
  return lines.map((line) => `${line}\n`).join("");
}

/**
 * @param {readonly object[]} results of `mutate.mjs`
 * @returns {string} the share that was caught, by room and in all
 */
export function describeShares(results) {
  const lines = [
    "room        tried  caught  further  loops  slow  equivalent  uncompiled  share, 95 %",
  ];
  const byRoom = new Map();
  for (const one of results) byRoom.set(roomOf(one), [...(byRoom.get(roomOf(one)) ?? []), one]);
  for (const [room, own] of byRoom) lines.push(row(room, own));
  lines.push(row("all", results));
  return `${lines.join("\n")}\n`;
}

function row(name, results) {
  const count = (statuses) => results.filter(({ status }) => statuses.includes(status)).length;
  const further = results.filter((one) => one.further && caught.includes(one.status)).length;
  const hits = count(caught);
  const of = hits + count(missed);
  const { share, low, high } = computeShare(hits, of);
  const percent = (x) => (100 * x).toFixed(1);
  const cells = [
    name.padEnd(10),
    String(of).padStart(6),
    String(hits).padStart(7),
    String(further).padStart(8),
    String(count(["Timeout"])).padStart(6),
    String(count(["Slow"])).padStart(5),
    String(count(["Equivalent"])).padStart(11),
    String(count(["Uncompiled"])).padStart(11),
    (of === 0 ? "–" : `${percent(share)} % (${percent(low)} to ${percent(high)})`).padStart(24),
  ];
  return cells.join(" ");
}

const roomOf = ({ file }) => file.split("/")[1];

const oneLine = (text) => text.replaceAll(/\s+/g, " ");

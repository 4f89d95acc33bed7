/** Figures of shared faults and of re-tests as tables that read well as text and as Markdown. */
import { table } from "./tables.mjs";

const maxListed = 20;

/** @param {ReturnType<import("./score-shared.mjs").scoreShared>} figures */
export function sharedTables({ faults, rounds, all, sound }) {
  const head = ["", "rounds", "part named", "strips wrongly pulled", "paths wrongly called faulty"];
  const row = (name, one) => [
    name,
    String(one.rounds),
    share(one.named),
    String(one.pulled),
    String(one.called),
    share(one.singles),
  ];
  const columns = [...head, "single faults first"];
  const kinds = rounds.map((one) => row(roundName(one), one));
  return [
    `### Shared faults, by what else there was\n\n${table(columns, [...kinds, row("all", all)])}`,
    `### Shared faults, by what was hidden\n\n${table(
      columns,
      Object.entries(faults).map(([name, one]) => row(name, one)),
    )}`,
    `### Nothing shared, nothing single\n\n${table(
      ["rounds", "shared part named", "strips pulled", "paths called faulty"],
      [[sound.rounds, sound.named, sound.pulled, sound.called].map(String)],
    )}`,
  ].join("\n\n");
}

function roundName({ round, hasSingles }) {
  const older = round === "first" ? "no round before" : "a round before";
  return `${older}, ${hasSingles ? "single faults on top" : "alone"}`;
}

/** @param {ReturnType<import("./score-retests.mjs").scoreRetests>} figures */
export function retestTables({ kinds, good, falseCloses, heldBack, leftOut }) {
  const bad = Object.values(kinds).reduce((sum, { of }) => sum + of, 0) - good.of;
  const rows = Object.entries(kinds).map(([kind, one]) => [
    kind,
    String(one.of),
    String(one.close),
    String(one["do-not-close"]),
    String(one["cannot-tell"]),
  ]);
  return [
    `### Re-tests\n\n${table(
      ["what was done", "re-tests", "can be closed", "do not close", "cannot tell"],
      rows,
    )}`,
    `False “can be closed”: ${share({ of: bad, count: falseCloses.length })}. Good ones let through: ${share({ of: good.of, count: good.close })}.`,
    ...(leftOut > 0
      ? [`Left out: ${leftOut} not mended, but not shown by the round before either.`]
      : []),
    ...listed("False “can be closed”", falseCloses),
    ...listed("Good, and held back", heldBack),
  ].join("\n\n");
}

function listed(title, list) {
  if (list.length === 0) return [];
  const lines = list
    .slice(0, maxListed)
    .map(({ seed, kind, what, verdict }) => `- seed ${seed}, ${kind}: ${what} (${verdict})`);
  const more = list.length > maxListed ? [`- and ${list.length - maxListed} more`] : [];
  return [`### ${title}\n\n${[...lines, ...more].join("\n")}`];
}

function share({ of, count }) {
  if (of === 0) return "–";
  const [low, high] = interval(count, of).map((part) => (100 * part).toFixed(0));
  return `${((100 * count) / of).toFixed(1)} % (${count}/${of}; ${low} to ${high} %)`;
}

/** 95 % interval of a share (E. B. Wilson, J. Am. Stat. Assoc. 22(158), 1927). */
export function interval(count, of) {
  const z2 = 1.96 ** 2;
  const share = count / of;
  const middle = share + z2 / (2 * of);
  const half = Math.sqrt(z2 * ((share * (1 - share)) / of + z2 / (4 * of * of)));
  return [middle - half, middle + half].map((one) => Math.min(1, Math.max(0, one / (1 + z2 / of))));
}

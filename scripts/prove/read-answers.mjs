/** What the product says of shared parts and of the gate: the only place where its form is read. */

/**
 * @typedef {object} SharedAnswer
 * @property {string} kind of the part
 * @property {string | undefined} name
 * @property {readonly string[]} paths
 *
 * @typedef {"close" | "do-not-close" | "cannot-tell"} Verdict
 */

/**
 * The shared parts that a round names, the gravest first. A round without the key names none.
 *
 * @param {object} round as stored
 * @returns {readonly SharedAnswer[]}
 */
export function readSharedAnswers({ shared = [], paths }) {
  return shared.map(({ part, paths: hit }) => ({
    kind: part.kind,
    name: part.name,
    paths: hit ?? paths.filter((one) => part.strips?.includes(one.strip)).map(({ path }) => path),
  }));
}

/**
 * The verdict of a re-test. One without a gate says by its items whether the desk can be closed, as
 * its report words them.
 *
 * @param {object} retest
 * @returns {Verdict}
 */
export function readVerdict({ gate, items, unmeasured }) {
  if (gate !== undefined) return gate.verdict;
  const isOpen = items.some(({ outcome }) => outcome !== "mended" && outcome !== "not shown");
  return isOpen || unmeasured.length > 0 ? "do-not-close" : "close";
}

/**
 * Strips that a plan wants out.
 *
 * @param {{ steps: readonly object[] }} plan
 * @returns {readonly string[]}
 */
export function readPulledStrips({ steps }) {
  return steps.flatMap((step) => (step.kind === "strip" ? [step.strip] : []));
}

/**
 * Plugins of the mutation tester. One lets only the drawn changes be tried: a place can be changed in
 * several ways, and a range that holds one place may hold others, which are all turned down. The other
 * tells of each change as soon as it was tried.
 */
import { readFileSync } from "node:fs";
import { relative } from "node:path";
import { CheckStatus } from "@stryker-mutator/api/check";
import { declareClassPlugin, PluginKind } from "@stryker-mutator/api/plugin";
import { isSameMutant } from "./draw-mutants.mjs";

/** Names the file with the drawn changes: the checker runs in a process of its own. */
export const drawnFile = "DESKROUND_DRAWN_MUTANTS";

class DrawnChecker {
  #drawn = [];

  async init() {
    this.#drawn = JSON.parse(readFileSync(process.env[drawnFile], "utf8"));
  }

  async check(mutants) {
    return Object.fromEntries(
      mutants.map((mutant) => {
        const { fileName, location, mutatorName, replacement } = mutant;
        const own = {
          file: relative(process.cwd(), fileName),
          ...location,
          kind: mutatorName,
          replacement,
        };
        const wanted = this.#drawn.some((drawn) => isSameMutant(drawn, own));
        return [
          mutant.id,
          wanted
            ? { status: CheckStatus.Passed }
            : { status: CheckStatus.CompileError, reason: "not drawn" },
        ];
      }),
    );
  }

  async group(mutants) {
    return [mutants.map(({ id }) => id)];
  }
}

/** What is called with each result; the reporter runs in the process that started the tester. */
export const tried = { tell: (_result) => {} };

class DrawnReporter {
  onMutantTested(result) {
    tried.tell(result);
  }
}

export const strykerPlugins = [
  declareClassPlugin(PluginKind.Checker, "drawn", DrawnChecker),
  declareClassPlugin(PluginKind.Reporter, "drawn", DrawnReporter),
];

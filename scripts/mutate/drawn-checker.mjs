/**
 * A plugin of the mutation tester that lets only the drawn changes be tried. A place can be changed in
 * several ways, and a range that holds one place may hold others: these are all turned down.
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

export const strykerPlugins = [declareClassPlugin(PluginKind.Checker, "drawn", DrawnChecker)];

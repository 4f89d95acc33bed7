import type { Command } from "commander";
import type { RoundSummary } from "../jobs/show.js";
import { type CommonOptions, withCommonOptions } from "./options.js";
import { note, printJson, printResult, reportStyle } from "./output.js";

interface ShowOptions extends CommonOptions {
  readonly list?: true;
  readonly json?: true;
}

export function addShow(program: Command): void {
  withCommonOptions(program.command("show"))
    .description("print a stored round, or one path of it, again")
    .argument("[round]", "id of a round, or `last`; a path alone means the last round", "last")
    .argument("[path]", "one path of it, such as 7/mic")
    .option("--list", "list the stored rounds")
    .option("--json", "print as JSON")
    .action(async (round: string, path: string | undefined, options: ShowOptions) => {
      const { listed, shown } = await import("../jobs/show.js");
      if (options.list) {
        const rounds = await listed(options.desk);
        if (options.json) return printJson(rounds);
        if (rounds.length === 0) return note("No round is stored yet.");
        return printResult(rounds.map(listLine).join("\n"));
      }
      const found = await shown(options.desk, round, path);
      if (options.json) return printJson(found.path ?? found.round);
      const { renderPath, renderRound } = await import("../report/round.js");
      const style = reportStyle();
      printResult(
        found.path === undefined
          ? renderRound(found.round, style, options.desk)
          : renderPath(found.round, found.path, style),
      );
    });
}

function listLine({ id, measured, paths, damaged }: RoundSummary): string {
  return damaged === undefined ? `${id}  ${measured} of ${paths} paths` : `${id}  ${damaged}`;
}

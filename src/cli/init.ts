import { type Command, Option } from "commander";
import { formatCommand, nameDesk } from "../text/program-name.js";
import { type CommonOptions, numberOption, parseWordList, withCommonOptions } from "./options.js";
import { printMessage } from "./output.js";

interface InitOptions extends CommonOptions {
  readonly name: string;
  readonly strips: string;
  readonly inputs: readonly string[];
  readonly mains: 50 | 60;
}

/** The command `init`. */
export function addInit(program: Command): void {
  withCommonOptions(program.command("init"))
    .description("write a desk file to start from")
    .option("--name <text>", "name of the desk", "Desk")
    .option("--strips <strips>", "how many strips (24), a range (1-24) or names (1,2,3A)", "24")
    .addOption(
      new Option("--inputs <names>", "inputs of a strip, in the order of testing")
        .argParser(parseWordList)
        .default(["mic", "line", "tape"], "mic,line,tape"),
    )
    .addOption(numberOption("--mains <hertz>", "mains frequency", [50, 60], 50))
    .action(async ({ desk, name, strips, inputs, mains }: InitOptions) => {
      const { initDesk } = await import("../jobs/init.js");
      const file = initDesk(desk, { name, strips, inputs, mainsHz: mains });
      nameDesk(desk);
      printMessage(`Wrote ${file}. Change it to suit the desk, then: ${formatCommand("signal")}`);
    });
}

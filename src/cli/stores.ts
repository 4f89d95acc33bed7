import { type Command, InvalidArgumentError, Option } from "commander";
import { DeskroundError } from "../errors.js";
import { getProgramName } from "../text/program-name.js";
import { given, head, type NoteOptions, withNoteOptions } from "./note.js";
import { parseWholeNumber } from "./options.js";
import {
  getReportStyle,
  printJson,
  printMessage,
  printReport,
  printResult,
  tellDamage,
} from "./output.js";

/** The command `stores`. */
export function addStores(program: Command): void {
  const group = program
    .command("stores")
    .description("parts in stock, what a plan sets aside, and what to buy");
  addList(group);
  addChange(group, "add", "in", "put parts in");
  addChange(group, "take", "out", "take parts out for other work; `note done` does it for repairs");
  addChange(group, "count", "set", "set how many there are, after counting them");
  addMissing(group);
}

function addList(group: Command): void {
  withNoteOptions(group.command("list"))
    .description("list the parts in stock")
    .action(async (options: NoteOptions) => {
      const { listStores } = await import("../jobs/stores.js");
      const result = listStores(options.desk);
      tellDamage(result.notebook);
      if (options.json) return printJson(result.stores.items);
      const { renderStores } = await import("../report/stores.js");
      printReport(renderStores(result.stores.items, getReportStyle()));
    });
}

interface ChangeOptions extends NoteOptions {
  readonly count?: number;
  readonly price?: number;
  readonly from?: string;
}

function addChange(
  group: Command,
  name: string,
  event: "in" | "out" | "set",
  description: string,
): void {
  const command = withNoteOptions(group.command(name))
    .description(description)
    .argument("<part...>", "as on the bag: electrolytic 10 µF 63 V")
    .option("--count <number>", "how many parts; or write 20x before the part", parseCount);
  if (event !== "out") {
    command
      .option("--price <money>", "the price of one", parsePrice)
      .option("--from <shop>", "where it was bought");
  }
  command.action(async (words: string[], options: ChangeOptions) => {
    const { changeStores } = await import("../jobs/stores.js");
    const { price, from } = options;
    const { part, count } = readCounted(words.join(" "), options.count, name);
    const result = changeStores({
      ...head(options),
      event,
      part,
      count,
      ...given({ price, from }),
    });
    tellDamage(result.notebook);
    if (options.json) return printJson(result.item);
    const { formatPartSpec } = await import("../report/format-stock.js");
    printMessage(`${formatPartSpec(result.item)}: ${result.item.count} in the stores.`);
  });
}

/** The count can come first, `20x electrolytic 10 µF 63 V`, as in `note done --part`. */
function readCounted(
  text: string,
  given: number | undefined,
  command: string,
): { readonly part: string; readonly count: number } {
  if (given !== undefined) return { part: text, count: given };
  const [, count, part] = /^(\d+)\s*[x×]\s*(\S.*)$/u.exec(text.trim()) ?? [];
  const value = Number(count);
  if (count === undefined || value < 1 || value > 100_000) {
    throw new DeskroundError(
      "usage",
      count === undefined
        ? "--count is missing: how many parts."
        : `"${count}" is not a number of parts: 1 to 100 000.`,
      `For example: ${getProgramName()} stores ${command} electrolytic 10 µF 63 V --count 20; \`${getProgramName()} stores ${command} --help\` shows what it takes.`,
    );
  }
  return { part, count: value };
}

function addMissing(group: Command): void {
  withNoteOptions(group.command("missing"))
    .description("the shopping list: what the plan needs and the stores do not have")
    .addOption(
      new Option("-f, --format <format>", "text, csv or json")
        .choices(["text", "csv", "json"])
        .default("text"),
    )
    .action(async (options: NoteOptions & { format: "text" | "csv" | "json" }) => {
      const { plan: makePlan } = await import("../jobs/plan.js");
      const { desk, date } = options;
      const { plan, notebook } = await makePlan({ desk, ...given({ date }) });
      tellDamage(notebook);
      if (options.json || options.format === "json") return printJson(plan.parts);
      const { renderShopping, renderShoppingCsv } = await import("../report/stores.js");
      if (options.format === "csv") return printResult(renderShoppingCsv(plan));
      printReport(renderShopping(plan, getReportStyle()));
    });
}

function parseCount(text: string): number {
  const count = parseWholeNumber(text);
  if (count <= 100_000) return count;
  throw new InvalidArgumentError("It should be a whole number up to 100000.");
}

function parsePrice(text: string): number {
  if (/^\d{1,6}(?:[.,]\d{1,4})?$/.test(text)) return Number(text.replace(",", "."));
  throw new InvalidArgumentError("It should be a price, such as 0.12, without a currency.");
}

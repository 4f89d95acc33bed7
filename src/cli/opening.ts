import type { Command } from "commander";
import { exitCode } from "../errors.js";
import type { OpeningResult } from "../jobs/opening.js";
import { collect, given, head, type NoteOptions, withNoteOptions } from "./note.js";
import { getReportStyle, printJson, printMessage, printReport, tellDamage } from "./output.js";

/** The command `opening`. */
export function addOpening(program: Command): void {
  const group = program
    .command("opening")
    .description("an opening of the desk, step by step: what is off, unplugged, back and counted");
  addStart(group);
  addTakeOff(group, "off");
  addTakeOff(group, "unplugged");
  addBack(group);
  addCounted(group);
  addStatus(group);
  addEnd(group);
}

const placeWords = "a strip (6), an input of one (6/mic), or desk";

function addStart(group: Command): void {
  withNoteOptions(group.command("start"))
    .description("start an opening, or resume one")
    .action(async (options: NoteOptions) => {
      const { startOpening } = await import("../jobs/opening.js");
      const result = startOpening(head(options));
      if (result.how === "goes on") printMessage("An opening is already in progress; it goes on.");
      await printOpening(result, options);
    });
}

const takeOffWords = {
  off: {
    description: "log what is taken off; give a board of strip-down.yaml by its name",
    what: "what comes off: mic board",
  },
  unplugged: {
    description: "log what is unplugged",
    what: "which connector or cable: CN5",
  },
} as const;

function addTakeOff(group: Command, how: "off" | "unplugged"): void {
  const { description, what } = takeOffWords[how];
  const command = withNoteOptions(group.command(how))
    .description(description)
    .argument("<place>", placeWords)
    .argument("<what...>", what);
  if (how === "off") {
    command.option(
      "--fixings <fixings>",
      'what held it, e.g. "4x M3x8"; can be repeated (default: as in strip-down.yaml)',
      collect,
    );
  }
  command.action(
    async (place: string, words: string[], options: NoteOptions & { fixings?: string[] }) => {
      const { takeOff } = await import("../jobs/opening.js");
      const result = takeOff({
        ...head(options),
        place,
        what: words.join(" "),
        how,
        fixings: options.fixings ?? [],
      });
      tellDamage(result.notebook);
      const { opening, ids, board } = result;
      if (options.json) return printJson({ ids, opening: opening ?? null });
      const { renderTakenOff } = await import("../report/opening.js");
      printReport(renderTakenOff(opening?.still ?? [], ids, board, getReportStyle()));
    },
  );
}

function addBack(group: Command): void {
  withNoteOptions(group.command("back"))
    .description("log that it is back, or plugged in")
    .argument("<place>", `the note (n12), ${placeWords}, or all`)
    .argument("[what...]", "what is back, if more than one thing came off there")
    .action(async (place: string, words: string[], options: NoteOptions) => {
      const { noteBack } = await import("../jobs/note/note-off.js");
      const { showOpening } = await import("../jobs/opening.js");
      const what = words.length === 0 ? undefined : words.join(" ");
      noteBack({ ...head(options), place, ...given({ what }) });
      await printOpening(showOpening(options.desk), options);
    });
}

function addCounted(group: Command): void {
  withNoteOptions(group.command("counted"))
    .description("log how many of its screws and nuts are back in")
    .argument("<which>", "the note that took it off (n12), a place, or all")
    .argument("[found...]", 'e.g. "4x M3x8"; left out: all of them')
    .action(async (which: string, found: string[], options: NoteOptions) => {
      const { countFixings } = await import("../jobs/opening.js");
      await printOpening(countFixings({ ...head(options), which, found }), options);
    });
}

function addStatus(group: Command): void {
  withNoteOptions(group.command("status"))
    .description("show how far the opening has got")
    .action(async (options: NoteOptions) => {
      const { showOpening } = await import("../jobs/opening.js");
      await printOpening(showOpening(options.desk), options);
    });
}

function addEnd(group: Command): void {
  withNoteOptions(group.command("end"))
    .description("end the opening once everything is back on")
    .action(async (options: NoteOptions) => {
      const { endOpening } = await import("../jobs/opening.js");
      const result = endOpening(head(options));
      if (!result.ended) process.exitCode = exitCode.checkFailed;
      if (options.json || !result.ended) return printOpening(result, options);
      printMessage("The opening has ended: everything that came off is back on.");
    });
}

async function printOpening(result: OpeningResult, options: NoteOptions): Promise<void> {
  tellDamage(result.notebook);
  if (options.json) return printJson({ opening: result.opening ?? null });
  const { renderOpening } = await import("../report/opening.js");
  printReport(renderOpening(result.opening, getReportStyle()));
}

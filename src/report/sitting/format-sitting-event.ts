import { toDisplayName } from "../../capture/containers/open-file.js";
import type { FollowEvent } from "../../sitting/follow/follow-recordings.js";
import type { PassedOver } from "../../sitting/follow/screen-recordings.js";
import type { DoneCommand, SittingEvent } from "../../sitting/sitting-events.js";
import type { Answer } from "../../sitting/types.js";
import { formatClock } from "../../text/format-clock.js";
import { formatCount } from "../../text/format-count.js";
import { formatSigned } from "../../text/format-signed.js";
import { formatErrorHint } from "../doubts/format-error-hint.js";
import { formatHeard } from "../not-measured/format-heard.js";
import { sanitizeLine } from "../sanitize.js";
import { formatSharedFault, formatSharedLook } from "../shared/format-shared.js";
import { createPalette, type ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";
import { formatAnswer, formatStanding } from "./format-answer.js";
import { formatChain } from "./format-chain.js";
import { formatTurn } from "./format-turn.js";

/**
 * An event of a sitting in words, for a terminal or a log; empty for those that only move a meter.
 */
export function renderSittingEvent(event: SittingEvent, style: ReportStyle): string {
  const palette = createPalette(style);
  const width = Math.min(style.width, 100);
  const lines = (text: readonly string[], paint = (line: string) => line) =>
    text
      .flatMap((part, k) => wrapText(sanitizeLine(part), width, k === 0 ? "" : "    ", "    "))
      .map((line) => paint(line))
      .join("\n");
  switch (event.kind) {
    case "begun":
      return lines(beginning(event));
    case "recording":
      return lines(recordingWords(event.event));
    case "passed-over":
      return lines(passedOverWords(event.passedOver), palette.doubt);
    case "waiting":
      return lines(waitingWords(event), event.near === undefined ? undefined : palette.doubt);
    case "turn":
      return lines(formatTurn(event.turn), palette.strong);
    case "complete":
      return event.end === "when-complete"
        ? lines(["All paths have had their turn."])
        : lines(["All paths have had their turn. `e` ends the sitting and stores the round."]);
    case "now":
    case "idle":
    case "sound":
      return "";
    case "stalled":
      return lines(
        [
          `Nothing has been added to ${toDisplayName(event.file)} for ${Math.round(event.forS)} s, and its recorder has not closed it.`,
          event.isPlaying
            ? "If the recorder has stopped, the return that was playing is lost: start it again, into a new file, and play again."
            : "Is the recorder still running, and is there space on the disk? A new recording next to it is followed too.",
        ],
        palette.doubt,
      );
    case "answer":
      return lines(formatAnswer(event.answer), paintOf(event.answer, palette));
    case "revised":
      return lines(
        [
          `${event.answer.path}, compared again with more siblings: ${formatStanding(event.answer)}`,
        ],
        paintOf(event.answer, palette),
      );
    case "shared":
      return lines(
        event.shared.flatMap((one) => [
          `Common to all paths, and more than such a desk should show: ${formatSharedFault(one)}.`,
          formatSharedLook(one),
        ]),
        palette.bad,
      );
    case "cut":
      return lines(
        [
          `A return at ${formatClock(event.atS)} is incomplete: its ${event.cut.missing} is missing.`,
          event.path === undefined
            ? "Play it again."
            : `Play ${event.path} again, from the start of the signal to its end.`,
        ],
        palette.doubt,
      );
    case "unplaced":
      return lines(
        [
          `The return at ${formatClock(event.atS)} of ${toDisplayName(event.file)} does not count: ${unplaced[event.why]}`,
        ],
        palette.doubt,
      );
    case "nothing-came": {
      const { file, path, heard, blame } = event;
      const or =
        path !== undefined && blame === "path"
          ? `If nothing comes back from ${path}, press 0. Otherwise check`
          : "Check";
      return lines(
        [
          `Nothing of the signal came back in ${toDisplayName(file)}: what was heard is ${formatHeard(heard)}.`,
          `${or} the patch, the mutes, and which input is recorded; then play it again.`,
        ],
        palette.bad,
      );
    }
    case "stray":
      return lines(
        [
          `Something plays in ${toDisplayName(event.file)}, up to ${formatSigned(event.peakDbfs.toFixed(0))} dBFS, that is not the test signal, or its start was missed.`,
          "Play the signal file from its very start, at its own sample rate.",
        ],
        palette.doubt,
      );
    case "shifted": {
      const { moves } = event;
      return lines(
        [
          `The last ${moves.length} returns each fit another path: ${moves.map(({ path, fits }) => `${path} fits ${fits}`).join(", ")}. Was ${moves[0].path} skipped?`,
          "Press y to move them all; you will be asked which path was skipped.",
        ],
        palette.doubt,
      );
    }
    case "other-rate":
      return lines(
        [
          `${toDisplayName(event.file)} is recorded at ${event.sampleRate / 1000} kHz, those before at ${event.before / 1000} kHz.`,
          `Set the recorder back to ${event.before / 1000} kHz: readings at two rates cannot be compared.`,
        ],
        palette.doubt,
      );
    case "controls-pass":
      return lines(
        [`${toDisplayName(event.file)} holds a controls pass: analyze it when it is finished.`],
        palette.doubt,
      );
    case "outputs-pass":
      return lines(
        [
          `${toDisplayName(event.file)} holds a pass of several outputs. Only paths that are played one at a time are answered here: go on recording, and analyze all passes together when they are finished.`,
        ],
        palette.doubt,
      );
    case "lost":
      return lines(
        [
          `${toDisplayName(event.file)} is gone, and with it ${formatCount(event.paths.length, "return")}.`,
          `Play again: ${event.paths.join(", ")}.`,
        ],
        palette.bad,
      );
    case "ask-muted":
      return lines(
        ["Are the monitors muted and the headphones off your ears? `y` plays, softly first."],
        palette.doubt,
      );
    case "chain":
      return lines(formatChain(event.chain), event.chain.heard ? palette.bad : undefined);
    case "done":
      return lines([`${done[event.command]}${event.path === undefined ? "" : `: ${event.path}`}.`]);
    case "refused": {
      const hint = formatErrorHint(event.error);
      return lines([event.error.message, ...(hint === undefined ? [] : [hint])], palette.doubt);
    }
  }
}

const unplaced = {
  paused: "the sitting is paused.",
  complete: "all paths have had their turn. `p` names a path for the next one.",
  "wrong-signal": "it is a return of another signal than the one named with --signal.",
  "other-signal":
    "it is a return of another signal than the earlier ones. Play the same file throughout.",
} as const;

const done: Readonly<Record<DoneCommand, string>> = {
  again: "Once more",
  skip: "Left out",
  kept: "Stays under its path",
  silent: "Nothing comes back",
  drop: "Does not count: play it again",
  note: "Noted",
  pause: "Paused: what is heard does not count",
  resume: "Listening again",
};

function beginning(event: Extract<SittingEvent, { readonly kind: "begun" }>): readonly string[] {
  const { sitting, target, wanted, resumed, leftAlone } = event;
  const what =
    resumed === undefined
      ? `Sitting ${sitting}: ${formatCount(wanted, "path")}.`
      : `Sitting ${sitting} resumes, with ${formatCount(resumed, "return")} so far.`;
  const rest =
    leftAlone === 0
      ? []
      : [`${formatCount(leftAlone, "recording")} there already: ignored; --already uses them too.`];
  return [
    `${what} Listening to ${toDisplayName(target)}`,
    "Mute the monitors and turn headphones down before the signal plays.",
    ...(resumed === undefined ? rest : []),
  ];
}

function recordingWords(event: FollowEvent): readonly string[] {
  switch (event.kind) {
    case "began":
      return [`Recording: ${toDisplayName(event.file)}`];
    case "renamed":
      return [`${toDisplayName(event.from)} is now called ${toDisplayName(event.file)}.`];
    case "replaced":
      return [`${toDisplayName(event.file)} was started again by its recorder.`];
    case "gone":
      return [`${toDisplayName(event.file)} is no longer there.`];
    case "folder-gone":
      return [
        `${toDisplayName(event.folder)} can no longer be read.`,
        "Is the disk still connected? What was decided is kept; listening resumes when it is back.",
      ];
    case "unusable": {
      const hint = formatErrorHint(event.error);
      return [event.error.message, ...(hint === undefined ? [] : [hint])];
    }
  }
}

function passedOverWords(one: PassedOver): readonly string[] {
  const name = toDisplayName(one.file);
  switch (one.why) {
    case "signal":
      return [`${name} is the test signal itself, not a recording of what came back: ignored.`];
    case "copy": {
      const what = one.isWhole ? "a copy" : "a copy of the beginning";
      return [
        `${name} is ${what} of ${toDisplayName(one.of)}, the same to the last sample: ignored.`,
        "If it was meant to be another path, play that path again.",
      ];
    }
    case "unreadable": {
      const hint = formatErrorHint(one.error);
      return [`${one.error.message} Ignored.`, ...(hint === undefined ? [] : [hint])];
    }
  }
}

function waitingWords({
  target,
  isFolder,
  near,
}: Extract<SittingEvent, { readonly kind: "waiting" }>): readonly string[] {
  const name = toDisplayName(target);
  if (isFolder) return [`Waiting: no recording has appeared in ${name} yet.`];
  return [
    `Waiting for ${name}, which does not exist yet.`,
    ...(near === undefined
      ? []
      : [
          `Its folder holds ${toDisplayName(near)}: did you mean that? Then press q and name that one.`,
        ]),
  ];
}

function paintOf({ standing, fits, beyond }: Answer, palette: ReturnType<typeof createPalette>) {
  if (fits !== undefined || beyond !== undefined) return palette.doubt;
  if (standing === "alike" || standing === "unjudged") return palette.good;
  return standing === "watch" || standing === "setting" ? palette.doubt : palette.bad;
}

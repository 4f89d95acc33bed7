import type { SittingEvent } from "../../sitting/sitting-events.js";

/** Events that only move a meter: they are not printed anywhere else, nor as JSON. */
export const unprintedEvents = ["now", "idle"] as const satisfies readonly SittingEvent["kind"][];

type Printed = Exclude<SittingEvent["kind"], (typeof unprintedEvents)[number]>;
type FieldsOf<K extends Printed> = Exclude<keyof Extract<SittingEvent, { kind: K }>, "kind">;

/** A kind of event: what it reports, and its fields besides `kind`. */
interface EventKind<K extends Printed = Printed> {
  readonly tells: string;
  readonly fields: Readonly<Record<FieldsOf<K>, string>>;
}

/** The last line, when the sitting has ended. */
export const endedLine = {
  kind: "ended",
  tells: "the last line",
  fields: {
    sitting: "its id",
    round: "id of the round that was stored; absent if the sitting stays open",
    since: "of a short sitting: the comparison with the last good day",
  },
};

/**
 * The events that `listen --json` prints. The compiler checks that exactly all kinds and fields are
 * listed here.
 */
export const sittingEventKinds: { readonly [K in Printed]: EventKind<K> } = {
  begun: {
    tells: "the sitting starts or resumes",
    fields: {
      sitting: "its id",
      target: "file or folder",
      wanted: "how many paths",
      resumed: "returns heard before, if it resumes",
      leftAlone: "recordings already there that are not part of it",
      end: "`by-command`, `when-complete`",
    },
  },
  recording: {
    tells: "something happened to a file",
    fields: {
      event:
        "`kind` (`began`, `renamed`, `replaced`, `gone`, `folder-gone`, `unusable`), `file`, `from`, `folder`, `error`",
    },
  },
  "passed-over": {
    tells: "a file is not a recording of this sitting",
    fields: {
      passedOver:
        "`file`, `why` (`signal`, `copy`, `unreadable`); of a copy `of` and `isWhole`, else `error`",
    },
  },
  waiting: {
    tells: "no recording has appeared after two seconds",
    fields: {
      target: "what is waited for",
      isFolder: "whether it is a folder",
      near: "a recording there with nearly that name",
    },
  },
  turn: {
    tells: "which path is next",
    fields: { turn: "`path`, `done`, `wanted`, and `patch`: what to plug and set" },
  },
  complete: {
    tells: "each path has had its turn",
    fields: { end: "`by-command`, `when-complete`" },
  },
  stalled: {
    tells: "a recorder adds nothing and leaves its file open",
    fields: { file: "the recording", forS: "seconds", isPlaying: "whether a return had begun" },
  },
  answer: {
    tells: "the answer to a return",
    fields: {
      answer:
        "`path`, `take`, `standing` (`alike`, `watch`, `service`, `setting`, `unjudged`, `unusable`, `unheard`), `against` (`siblings`, `last-round`, `nothing`), `siblings`, `findings`, `cause`, `beyond`, `because` (a `code` and its facts), `reason` (the same in words), `fits`, `clipped`",
      take: "`file`, `channel` and `startSample`, from 0; `path`; `by` (`turn`, `name`, `channel`, `key`)",
    },
  },
  revised: {
    tells: "an earlier answer has changed",
    fields: { answer: "as it is now", before: "as it was" },
  },
  shared: {
    tells: "what all paths have in common, more than such a desk should show",
    fields: { shared: "a list" },
  },
  cut: {
    tells: "a return is not whole",
    fields: {
      cut: "which part is `missing`, and where",
      atS: "seconds",
      path: "to be played again",
    },
  },
  "nothing-came": {
    tells: "a recording ended with nothing of the signal in it",
    fields: {
      file: "the recording",
      path: "whose turn it was",
      heard: "what was heard: a `code` and its facts; `instead`: the same in words",
      blame: "`path`, `capture`",
    },
  },
  stray: {
    tells: "something plays that is not the signal",
    fields: { file: "the recording", peakDbfs: "its level" },
  },
  shifted: {
    tells: "returns in a row that each fit another path",
    fields: { moves: "a list of `path` and `fits`" },
  },
  "other-rate": {
    tells: "a recording at another sample rate",
    fields: { file: "the recording", sampleRate: "Hz", before: "Hz of those before" },
  },
  unplaced: {
    tells: "a return that does not count",
    fields: {
      file: "the recording",
      atS: "seconds",
      why: "`paused`, `complete`, `wrong-signal`, `other-signal`",
    },
  },
  "controls-pass": {
    tells: "a recording holds a controls pass",
    fields: { file: "the recording" },
  },
  "outputs-pass": {
    tells: "a recording holds a pass of several outputs",
    fields: { file: "the recording" },
  },
  lost: {
    tells: "returns are gone with their recording",
    fields: { file: "the recording", paths: "to be played again" },
  },
  "ask-muted": {
    tells: "nothing plays before `muted` is answered (`--play`)",
    fields: {},
  },
  sound: {
    tells: "the program starts or stops playing (`--play`)",
    fields: { what: "`soft`, `signal`, `over`", path: "into which path" },
  },
  chain: {
    tells: "what came back of the soft signal (`--play`)",
    fields: {
      chain:
        "`sampleRate`, `softerDb`, `gainDb`, `levelMovesDb`, `driftPpm`, `slipSamples`, `isInverted`, `isClipped`; `heard` where it did not, and `instead`, the same in words",
    },
  },
  done: {
    tells: "a command was carried out",
    fields: {
      command: "`again`, `skip`, `kept`, `silent`, `drop`, `note`, `pause`, `resume`",
      path: "of which path",
    },
  },
  refused: {
    tells: "a command cannot be carried out",
    fields: { error: "`code`, `message`, `hint`" },
  },
};

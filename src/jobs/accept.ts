import { getDeskFolder } from "../desk/desk-file.js";
import { formatPlace, parsePlace } from "../desk/place.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { listSeriousFindings } from "../history/standing.js";
import { readRound } from "../history/store.js";
import { appendToNotebook } from "../service/notebook/append.js";
import type { Entry } from "../service/notebook/types.js";
import { formatCommand } from "../text/program-name.js";
import { createNoteHead, type NoteHead, parseNoteLine } from "./note-line.js";

export interface AcceptRequest extends NoteHead {
  /** A path or a strip: `7/line`, `7`. */
  readonly place: string;
  readonly because: string;
  /** Last day on which the entry is valid, YYYY-MM-DD. */
  readonly until?: string;
  /** Round with the findings; the last one when absent. */
  readonly round?: string;
}

/**
 * Notes that a path's findings are known and accepted.
 *
 * @throws DeskroundError `usage`: no reason, no such path, or nothing that stands out there;
 *   `round-file`, `desk-file`, `cannot-write`
 */
export async function acceptFindings(request: AcceptRequest): Promise<Entry> {
  const folder = getDeskFolder(request.desk);
  const place = parsePlace(request.place, readDesk(request.desk));
  const where = formatPlace(place);
  if (place.strip === undefined) {
    throw new DeskroundError(
      "usage",
      `${where} is neither a strip nor a path.`,
      `For example: ${formatCommand('note accept 7/line "modified in 2031"')}`,
    );
  }
  if (request.because.trim() === "") {
    throw new DeskroundError(
      "usage",
      `No reason is given why ${where} is left alone.`,
      `Give the reason: ${formatCommand(`note accept ${where} "modified in 2031"`)}`,
    );
  }
  const because = parseNoteLine(request.because, "reason");
  const round = await readRound(folder, request.round ?? "last");
  const findings = round.paths
    .filter(
      ({ strip, input }) =>
        strip === place.strip && (place.input === undefined || input === place.input),
    )
    .flatMap((path) =>
      listSeriousFindings(path).map(({ reading, against, deviation }) => ({
        path: path.path,
        reading,
        against,
        deviation,
      })),
    );
  if (findings.length === 0) {
    throw new DeskroundError(
      "usage",
      `Nothing stands out on ${where} in round ${round.id}, so there is nothing to leave alone.`,
      `\`${formatCommand(`show ${where}`)}\` shows it; a fault noticed in use is closed with \`${formatCommand("note close")}\`.`,
    );
  }
  const { until } = request;
  const head = createNoteHead(request);
  if (until !== undefined && until < head.date.slice(0, 10)) {
    throw new DeskroundError(
      "usage",
      `--until ${until} is over on the day of the note, ${head.date.slice(0, 10)}.`,
      "Name a later day, or leave it out if it has no end.",
    );
  }
  const { ids, notebook } = appendToNotebook(folder, [
    {
      ...head,
      kind: "accept",
      ...place,
      round: round.id,
      findings,
      ...(until === undefined ? {} : { until }),
      text: because,
    },
  ]);
  const entry = notebook.entries.find(({ id }) => id === ids[0]);
  if (entry === undefined) throw new Error("the note that was just written is not there");
  return entry;
}

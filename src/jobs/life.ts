import type { OnProgress } from "../analysis/types.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { parsePlace } from "../desk/place.js";
import { readDesk } from "../desk/read/read-desk.js";
import { DeskroundError } from "../errors.js";
import { readFacts } from "../history/facts/read-facts.js";
import { withFactsOfSides } from "../history/facts/with-facts-of-sides.js";
import { isSameDesk } from "../history/same-desk.js";
import { listRounds } from "../history/store.js";
import { formatPassedOver } from "../report/passed-over.js";
import { formatRemadeIndex } from "../report/remade-index.js";
import { isOpenNote } from "../service/notebook/is-open-note.js";
import { readNotebook } from "../service/notebook/read.js";
import { listRecaps, mergeRecaps } from "../service/notebook/recaps.js";
import type { Entry, Notebook } from "../service/notebook/types.js";
import { estimateCapacitorLife } from "../service/plan/ageing.js";
import type { FaultyControl } from "../service/plan/from-controls.js";
import { buildStripLife, type StripLife } from "../service/plan/life.js";
import { listFaultyControls } from "./latest-controls.js";
import { reportReading } from "./report-reading.js";

export interface StripLifeResult {
  readonly life: StripLife;
  readonly desk: string;
  readonly notebook: Notebook;
  /** Rounds that were skipped, and what was wrong with the index, in words. */
  readonly skipped: readonly string[];
}

/**
 * The history of a strip, from every round and the notebook.
 *
 * @throws DeskroundError `usage` for an unknown strip, `desk-file`, `notebook-file`
 */
export async function readStripLife(
  folderOrFile: string,
  stripText: string,
  onProgress: OnProgress = () => {},
): Promise<StripLifeResult> {
  const desk = readDesk(folderOrFile);
  const folder = getDeskFolder(folderOrFile);
  const { strip } = parsePlace(stripText, desk);
  if (strip === undefined) {
    throw new DeskroundError(
      "usage",
      "Only a strip has a history, not the desk as a whole.",
      "Name a strip: --history 6",
    );
  }
  const notebook = readNotebook(folder);
  const recaps = listRecaps(notebook, desk.strips);
  const { minRounds, computeTrends, trendReadings } = await import("../history/trend/trends.js");
  const ids = listRounds(folder);
  const onRead = reportReading(onProgress);
  const found = await readFacts({
    folder,
    ids,
    readings: trendReadings,
    onRead,
    pick: (one) => one,
  });
  const rounds = found.rounds.flatMap((one) => ("facts" in one ? one.facts : []));
  const skipped = [
    ...formatRemadeIndex(found.remade),
    ...found.rounds.flatMap((one) =>
      "damaged" in one ? formatPassedOver({ ...one, message: one.damaged }) : [],
    ),
  ];
  const whole = rounds.filter(({ partial }) => partial === undefined);
  const last = whole.at(-1);
  const alike = whole.filter(({ desk }) => last !== undefined && isSameDesk(desk, last.desk));
  const trends =
    alike.length < minRounds
      ? undefined
      : computeTrends(alike.map(withFactsOfSides), () => [], recaps);
  const life = buildStripLife(
    strip,
    rounds,
    notebook,
    trends,
    estimateCapacitorLife(strip, mergeRecaps(desk.age, recaps)),
  );
  return { life, desk: desk.name, notebook, skipped };
}

/** A strip's history with its open notes. */
export interface StripNotes extends StripLifeResult {
  readonly notes: readonly Entry[];
  /** Its controls that did something unwanted in their latest pass, unless it was worked on since. */
  readonly controls: readonly FaultyControl[];
}

/**
 * What is known about a strip besides a round's readings.
 *
 * @throws DeskroundError as {@link readStripLife}
 */
export async function readStripSheet(
  folderOrFile: string,
  strip: string,
  onProgress: OnProgress = () => {},
): Promise<StripNotes> {
  const found = await readStripLife(folderOrFile, strip, onProgress);
  const notes = found.notebook.entries.filter(
    (entry) => entry.line.strip === strip && isOpenNote(entry),
  );
  const skipped = [...found.skipped];
  const faulty = await listFaultyControls(getDeskFolder(folderOrFile), found.notebook, skipped);
  return { ...found, notes, controls: faulty.filter((one) => one.strip === strip), skipped };
}

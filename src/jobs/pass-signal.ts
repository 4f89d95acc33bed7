import { join } from "node:path";
import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { type PassForm, type PassPlan, type PlannedPass, planPasses } from "../desk/passes.js";
import { readDesk } from "../desk/read/read-desk.js";
import type { Desk } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { getSheetFormat } from "../report/sheet/form.js";
import type { OpenDanger } from "../service/notebook/open-dangers.js";
import { buildPassSheet, type PassSheet } from "../service/pass-sheet.js";
import { signalKind } from "../signal/own-files.js";
import { buildPassSignal, type PassSignal } from "../signal/pass-signal.js";
import { encodePassWav } from "../signal/pass-wav.js";
import { buildSignalTable, chooseBand } from "../signal/signal-table.js";
import type { SignalFormat } from "../signal/signal-wav.js";
import type { Profile, SignalBand } from "../signal/types.js";
import { formatCommand } from "../text/program-name.js";
import { readDangers } from "./read-dangers.js";
import type { SignalRequest } from "./signal.js";
import { writePieces } from "./write-pieces.js";
import { assertSheetTarget, writeSheet } from "./write-sheet.js";

/** What `signal` is asked to do for several outputs. */
export interface PassSignalRequest extends Omit<SignalRequest, "out" | "heard"> {
  /**
   * Number of outputs patched by hand, if the desk file names none; otherwise as many as it names.
   */
  readonly outputs?: number;
  /**
   * `turns`, or `at-once` if each path has its own recording channel; chosen by that when absent.
   */
  readonly form?: PassForm;
}

export interface PassSignalResult {
  readonly files: readonly {
    readonly file: string;
    readonly wav: "written" | "kept" | "left out";
  }[];
  readonly sheet: PassSheet;
}

/**
 * Writes the multichannel signals of passes, one for each set of outputs that play together, and
 * the run sheet that goes with them.
 *
 * @throws DeskroundError `desk-file`; `usage` for outputs that contradict the desk file, or a
 * profile that has no passes; `cannot-write`
 */
export async function makePassSignal(request: PassSignalRequest): Promise<PassSignalResult> {
  const { profile, sampleRate, format, write } = request;
  const desk = withOutputs(readDesk(request.desk), request.outputs);
  const folder = getDeskFolder(request.desk);
  const band = chooseBand(sampleRate);
  const paths =
    request.only === undefined ? desk.paths : parseWantedPaths(request.only, desk.paths);
  const planned = planPasses(desk, paths);
  const passes = planned.passes.map(
    (pass): PlannedPass => ({
      ...pass,
      form: pass.form === "turns" ? "turns" : (request.form ?? pass.form),
    }),
  );
  if (passes.length === 0) throw nothingReached();
  if (request.form === "at-once" && !passes.some(({ form }) => form === "at-once")) {
    throw noOwnChannels();
  }
  const { sheet, signals } = makePassSheet(
    desk,
    { ...planned, passes },
    {
      profile,
      band,
      sampleRate,
      format,
      ...(request.only && { only: request.only }),
      dangers: await readDangers(request.desk, desk.sections),
    },
  );
  const target =
    request.sheet === undefined
      ? undefined
      : { file: request.sheet, form: getSheetFormat(request.sheet), write };
  const names = request.files === "sheet" ? [] : [...signals.keys()];
  if (target) {
    assertSheetTarget(
      target,
      names.map((name) => join(folder, name)),
    );
  }
  const files = [...signals].map(([name, signal]) => {
    const file = join(folder, name);
    if (request.files === "sheet") return { file, wav: "left out" as const };
    const wav = writePieces(file, () => encodePassWav(signal, sampleRate, format), write, {
      kind: signalKind,
      hint: "--sheet-only prints its run sheet, --force replaces an earlier test signal.",
    });
    return { file, wav };
  });
  if (target) writeSheet(target, () => target.form.renderPasses(sheet));
  return { files, sheet };
}

/** Options of a pass sheet. */
export interface PassSheetRequest {
  readonly profile: Profile;
  readonly band: SignalBand;
  readonly sampleRate: number;
  readonly format?: SignalFormat;
  readonly only?: readonly string[];
  readonly isRetest?: true;
  /** Dangers in open notes; none when absent. */
  readonly dangers?: readonly OpenDanger[];
}

/** The run sheet of passes, and their signals by file name. */
export function makePassSheet(
  desk: Desk,
  plan: PassPlan,
  { profile, band, sampleRate, format = "int24", only, isRetest, dangers }: PassSheetRequest,
): { readonly sheet: PassSheet; readonly signals: ReadonlyMap<string, PassSignal> } {
  const signals = new Map<string, PassSignal>();
  const fileOf = (pass: PlannedPass) => {
    const used = usedOutputs(desk, pass);
    const name = `outputs-${rangesOf(used)}-${pass.form}-${profile}-${sampleRate}-${format}.wav`;
    const signal = signals.get(name) ?? buildPassSignal(profile, band, used, pass.form);
    signals.set(name, signal);
    return { file: name, lengthS: signal.lengthS };
  };
  const table = buildSignalTable(profile, band);
  const heading = {
    profile,
    sampleRate,
    table,
    ...(only && { only }),
    ...(isRetest && { isRetest }),
    ...(dangers && { dangers }),
  };
  return { sheet: buildPassSheet(desk, plan, { ...heading, paths: desk.paths, fileOf }), signals };
}

/** The desk with the requested number of outputs. */
function withOutputs(desk: Desk, outputs: number | undefined): Desk {
  if (desk.outputs === undefined) {
    if (outputs === undefined) {
      throw new DeskroundError(
        "usage",
        "Neither desk.yaml nor --outputs says how many outputs play.",
        "Write outputs: 8 into desk.yaml for eight that are patched by hand, or what each is wired to.",
      );
    }
    return { ...desk, outputs: Array.from({ length: outputs }, () => ({ use: "hand" }) as const) };
  }
  if (outputs === undefined || outputs === desk.outputs.length) return desk;
  throw new DeskroundError(
    "usage",
    `--outputs says ${outputs}, desk.yaml names ${desk.outputs.length}.`,
    "Recordings are read by desk.yaml: change it there, or leave --outputs out.",
  );
}

/** Which channels of the file play in a pass. */
function usedOutputs({ outputs = [] }: Desk, pass: PlannedPass): readonly boolean[] {
  const used = outputs.map((_, k) => pass.outputs.includes(k + 1));
  return used.slice(0, used.lastIndexOf(true) + 1);
}

/** The outputs that play, as "1-4" or "1-3+5". */
function rangesOf(used: readonly boolean[]): string {
  const parts: string[] = [];
  for (let at = 0; at < used.length; at++) {
    if (!used[at]) continue;
    let end = at;
    while (used[end + 1]) end++;
    parts.push(end > at ? `${at + 1}-${end + 1}` : String(at + 1));
    at = end;
  }
  return parts.join("+");
}

function nothingReached(): DeskroundError {
  return new DeskroundError(
    "usage",
    "No output of desk.yaml reaches any of these paths.",
    `Write hand for outputs that can be patched, or play the paths one by one: ${formatCommand("signal --single")}`,
  );
}

function noOwnChannels(): DeskroundError {
  return new DeskroundError(
    "usage",
    "No pass has a recording channel for each of its paths: on one channel outputs that play at once cannot be told apart.",
    "Leave --at-once out, or write channels: or buses: into desk.yaml for what is recorded where.",
  );
}

import type { OnProgress } from "../analysis/types.js";
import { printMessage } from "./output.js";

/** A bar on the terminal while a long job runs. */
export interface ProgressBar {
  readonly onProgress: OnProgress;
  /** Prints a line in between. */
  readonly say: (text: string) => void;
  /** Removes the bar; results and errors start on a clean line. */
  readonly close: () => void;
}

const stageWidth = 15;

const silent: ProgressBar = { onProgress: () => {}, say: printMessage, close: () => {} };

/** Opens a bar on stderr; without a terminal nothing is shown. */
export async function openProgress(): Promise<ProgressBar> {
  if (process.stderr.isTTY !== true || process.env.TERM === "dumb") return silent;
  const { default: progress } = await import("cli-progress");
  const bar = new progress.SingleBar({
    stream: process.stderr,
    format: "{stage} {bar} {percentage} %",
    barsize: 30,
    barCompleteChar: "#",
    barIncompleteChar: "-",
    clearOnComplete: true,
    // Terminal settings are left alone, as Ctrl-C ends the program without restoring them.
    linewrap: true,
  });
  let stage = "";
  return {
    onProgress(at) {
      if (at.stage !== stage) {
        bar.stop();
        bar.start(at.total, at.done, { stage: at.stage.padEnd(stageWidth) });
        stage = at.stage;
      } else {
        bar.setTotal(at.total);
        bar.update(at.done);
      }
    },
    say(text) {
      bar.stop();
      stage = "";
      printMessage(text);
    },
    close: () => bar.stop(),
  };
}

/** Runs a long job with a bar that is removed when the job ends or fails. */
export async function withProgress<T>(
  job: (onProgress: OnProgress, say: ProgressBar["say"]) => Promise<T>,
): Promise<T> {
  const bar = await openProgress();
  try {
    return await job(bar.onProgress, bar.say);
  } finally {
    bar.close();
  }
}

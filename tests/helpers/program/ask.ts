import {
  MessageChannel,
  type MessagePort,
  receiveMessageOnPort,
  Worker,
} from "node:worker_threads";

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Where a command is typed, if not in a folder that is no desk's. */
export interface Surroundings {
  readonly cwd?: string;
  /** Variables of the environment; null takes one away. */
  readonly env?: Readonly<Record<string, string | null>>;
}

interface Program {
  readonly port: MessagePort;
  /** Raised by the relay when the answer lies in the port. */
  readonly answered: Int32Array;
}

let program: Program | undefined;

const entry = new URL("../../../program/main.js", import.meta.url).href;
const mostMs = 120_000;

/**
 * Has the built program do a command line in a process that stays for the next one: what it costs
 * to start is paid once. Exits, pipes, signals and terminals want a process of their own.
 */
export function ask(args: readonly string[], where: Surroundings = {}): Ran {
  program ??= start();
  const { port, answered } = program;
  Atomics.store(answered, 0, 0);
  port.postMessage({ args, ...where });
  if (Atomics.wait(answered, 0, 0, mostMs) === "timed-out") {
    throw new Error(`no answer in ${mostMs} ms: ${args.join(" ")}`);
  }
  const answer: Ran | { readonly failed: string } = receiveMessageOnPort(port)?.message;
  if ("failed" in answer) throw new Error(answer.failed);
  return answer;
}

function start(): Program {
  const { port1, port2 } = new MessageChannel();
  const answered = new Int32Array(new SharedArrayBuffer(4));
  const relay = new Worker(new URL("relay.mjs", import.meta.url), {
    workerData: { entry, port: port2, answered },
    transferList: [port2],
  });
  // Neither keeps the tests from ending; the program ends with them.
  relay.unref();
  port1.unref();
  return { port: port1, answered };
}

/**
 * A thread that hands command lines to the program that `serve.mjs` keeps running, so that a test
 * can wait for the answer without a promise.
 */
import { fork } from "node:child_process";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";
import { workerData } from "node:worker_threads";

const { entry, port, answered } = workerData;
const server = fileURLToPath(new URL("serve.mjs", import.meta.url));

function start() {
  const child = fork(server, [entry], {
    cwd: tmpdir(),
    execArgv: [],
    stdio: ["ignore", "ignore", "inherit", "ipc"],
  });
  return { child, ready: new Promise((resolve) => child.once("message", resolve)) };
}

let program = start();

function answer(message) {
  port.postMessage(message);
  Atomics.store(answered, 0, 1);
  Atomics.notify(answered, 0);
}

port.on("message", async (command) => {
  const { child, ready } = program;
  await ready;
  const onExit = (code, signal) => {
    program = start();
    answer({ failed: `${command.args.join(" ")} ended its process with ${code ?? signal}` });
  };
  child.once("exit", onExit);
  child.once("message", (ran) => {
    child.off("exit", onExit);
    answer(ran);
  });
  child.send(command);
});

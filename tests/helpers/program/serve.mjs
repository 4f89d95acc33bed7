/**
 * The built program, kept running: does one command line after the other in this process and tells
 * what each wrote and the code it would have ended with.
 */
import { keepThreads } from "./keep-threads.mjs";

const [, , entry] = process.argv;
keepThreads(new URL(".", entry));
const { main } = await import(entry);

/** What the command at hand wrote. */
const written = { out: [], err: [] };

for (const [stream, texts] of [
  [process.stdout, written.out],
  [process.stderr, written.err],
]) {
  stream.write = (text, encoding, done) => {
    texts.push(String(text));
    (typeof encoding === "function" ? encoding : done)?.();
    return true;
  };
}

process.on("message", async (args) => {
  written.out.length = 0;
  written.err.length = 0;
  process.exitCode = undefined;
  await main(args);
  process.send({
    code: process.exitCode ?? 0,
    out: written.out.join(""),
    err: written.err.join(""),
  });
  // The program listens to its streams; the next command does so again.
  for (const stream of [process.stdout, process.stderr]) stream.removeAllListeners("error");
});
// Without a reader there is nothing to do any more.
process.on("disconnect", () => process.exit());
process.send("ready");

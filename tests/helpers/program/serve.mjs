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

const home = process.cwd();
const usual = { ...process.env };

/** Sets variables, or takes away those that are null. */
function setVariables(env) {
  for (const [name, value] of Object.entries(env)) {
    if (value === null) delete process.env[name];
    else process.env[name] = value;
  }
}

process.on("message", async ({ args, cwd = home, env = {} }) => {
  written.out.length = 0;
  written.err.length = 0;
  process.exitCode = undefined;
  process.chdir(cwd);
  setVariables(env);
  await main(args);
  setVariables(Object.fromEntries(Object.keys(env).map((name) => [name, usual[name] ?? null])));
  process.chdir(home);
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

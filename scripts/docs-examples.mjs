/**
 * Runs the examples of a page and puts what they print into it. The conventions are told in
 * DEVELOPERS.md, under "The pages".
 */
import { execFile } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const launcher = fileURLToPath(new URL("../bin/deskround.js", import.meta.url));

/** Lines that a page may show and that are not run here: they build or test the whole checkout. */
const notRun = /^(npm|node scripts\/)/;

/**
 * @param {string} page text of the page
 * @param {string} folder where its commands run; holds the recordings of the example desk
 * @returns {Promise<{ page: string, ran: { line: number, command: string, expected: number,
 *   code: number, output: string }[] }>} the page with fresh output, and what was run
 */
export async function runExamples(page, folder) {
  const out = [];
  const ran = [];
  const lines = page.split("\n");
  const run = async (command, line, expected) => {
    const { code, output } = await shell(command, folder);
    ran.push({ line: line + 1, command, expected, code, output });
    return output;
  };
  for (let i = 0; i < lines.length; i++) {
    const hidden = /^<!-- run: (.+) -->$/.exec(lines[i]);
    if (hidden) await run(hidden[1], i, 0);
    const fence = /^```(\w+)(.*)$/.exec(lines[i]);
    if (!fence) {
      out.push(lines[i]);
      continue;
    }
    const end = lines.indexOf("```", i + 1);
    if (end < 0) throw new Error(`the block at line ${i + 1} has no end`);
    const body = lines.slice(i + 1, end);
    const flag = (name) => new RegExp(` ${name}=(\\S+)`).exec(fence[2])?.[1];
    const expected = Number(flag("exit") ?? 0);
    const file = flag("file");
    if (file) {
      mkdirSync(dirname(join(folder, file)), { recursive: true });
      writeFileSync(join(folder, file), `${body.join("\n")}\n`);
    }
    out.push(lines[i]);
    if (fence[1] === "console") {
      for (const { at, command } of prompted(body)) {
        out.push(...command.map((part, k) => `${k === 0 ? "$" : ">"} ${part}`));
        const output = await run(command.join("\n"), i + 1 + at, expected);
        if (output !== "") out.push(...output.split("\n"));
      }
    } else {
      if (fence[1] === "sh") {
        for (const { at, command } of plain(body)) await run(command, i + 1 + at, expected);
      }
      out.push(...body);
    }
    out.push(lines[end]);
    i = end;
  }
  return { page: out.join("\n"), ran };
}

/** Commands after `$ `, each with its further lines after `> `; all else is old output. */
function prompted(body) {
  const commands = [];
  body.forEach((line, at) => {
    if (line.startsWith("$ ")) commands.push({ at, command: [line.slice(2)] });
    else if (line.startsWith("> ") && body[at - 1]?.endsWith("\\")) {
      commands.at(-1).command.push(line.slice(2));
    }
  });
  return commands;
}

/** One command a line; a backslash at the end goes on. Notes behind ` # ` belong to the shell. */
function plain(body) {
  const commands = [];
  let open;
  body.forEach((line, at) => {
    if (open) open.command += `\n${line}`;
    else if (line.trim() !== "" && !line.startsWith("#") && !notRun.test(line)) {
      open = { at, command: line };
      commands.push(open);
    }
    if (!line.endsWith("\\")) open = undefined;
  });
  return commands;
}

/** What a command prints, errors and results in the order in which they come. */
function shell(command, folder) {
  const known = command.replaceAll("node bin/deskround.js", "deskround");
  const script = `deskround() { "$NODE" "$DESKROUND" "$@"; }\n{ ${known}\n} 2>&1`;
  const env = {
    ...process.env,
    NODE: process.execPath,
    DESKROUND: launcher,
    LC_ALL: "C",
    DESKROUND_COMMAND: "deskround",
    // Days of the pages are of the years 2030 and on.
    DESKROUND_FUTURE: "yes",
  };
  return new Promise((resolve) => {
    execFile("bash", ["-c", script], { cwd: folder, env, maxBuffer: 1e8 }, (error, stdout) => {
      const code = error === null ? 0 : typeof error.code === "number" ? error.code : 1;
      resolve({ code, output: stdout.replace(/\n+$/, "") });
    });
  });
}

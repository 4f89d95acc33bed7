const {
  accessSync,
  constants: fileConstants,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} = require("node:fs");
const { createRequire } = require("node:module");
const { join } = require("node:path");
const { constants, Script } = require("node:vm");
const { getHeapCodeStatistics, setFlagsFromString } = require("node:v8");
const { crc32 } = require("node:zlib");

// Most commands are over before optimised code pays for its making: V8 begins with it six times as
// late as it would by itself (in bytes of code run). Work of seconds does not notice.
setFlagsFromString("--interrupt-budget=400000");

/** Before the compiled code: the checksums of the source it was made of and of itself. */
const headBytes = 8;
/** How much code there was at the end of starts, by the modules that they loaded. */
const startsFile = "starts.json";
/** There are some dozens of such sets of modules; nothing may grow for ever. */
const mostSets = 500;
/** Code is kept anew where there is so much more of it than before. */
const grown = 1.02;

/**
 * Loads a module of the built program and what it asks for, and keeps what V8 compiled of it in
 * `.compiled/` beside it, if the folder can be written to: most of a start went into compiling what
 * had been compiled a minute before. A kept file counts only for the very source it was made of, by
 * the same Node.js, and only whole; without it all works as well, only slower.
 *
 * V8 compiles a function when it is first called, so that a start which did little keeps little.
 * One that ends with noticeably more code than any before it with the same modules keeps theirs anew,
 * together with what was kept already: soon all that the commands use is kept, and nothing more is
 * written.
 *
 * @param {string} folder of the program's modules, which are CommonJS
 * @param {string} entry name of the module's file
 * @returns what the module exports
 * @throws the system's error where a file is missing
 */
exports.loadProgram = (folder, entry) => {
  // Node.js 21 and 22.0 to 22.1 have no checksums of their own: they compile each time.
  if (crc32 === undefined) return require(join(folder, entry));
  const kept = join(folder, ".compiled");
  /** By their files' names. */
  const modules = new Map();
  /** What was loaded in this run: what it needed is known, and kept, when it ends. */
  const loaded = [];

  function load(name) {
    const known = modules.get(name);
    if (known !== undefined) return known.exports;
    const module = { exports: {} };
    modules.set(name, module);
    const file = join(folder, name);
    const source = readFileSync(file);
    const sum = crc32(source);
    const cachedData = readKept(join(kept, `${name}.bin`), sum);
    const script = new Script(
      `(function (exports, require, module, __filename, __dirname) {${source.toString()}\n})`,
      {
        filename: file,
        cachedData,
        importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
      },
    );
    const isRejected = script.cachedDataRejected === true;
    loaded.push({ name, sum, script, isRejected, isKept: cachedData !== undefined && !isRejected });
    const run = script.runInThisContext();
    run.call(module.exports, module.exports, requireFrom(file), module, file, folder);
    return module.exports;
  }

  function requireFrom(file) {
    const sibling = (id) => (id.startsWith("./") ? load(id.slice(2)) : require(id));
    return Object.assign(sibling, { resolve: (id) => createRequire(file).resolve(id) });
  }

  process.once("exit", () => keep(kept, loaded));
  return load(entry);
};

/** What was compiled of a source, where it is kept whole; V8 itself looks whether it made it. */
function readKept(file, sum) {
  let bytes;
  try {
    bytes = readFileSync(file);
  } catch {
    return undefined;
  }
  if (bytes.length <= headBytes || bytes.readUInt32LE(0) !== sum) return undefined;
  const data = bytes.subarray(headBytes);
  return bytes.readUInt32LE(4) === crc32(data) ? data : undefined;
}

/** Keeps what this run compiled, if it is worth it. */
function keep(folder, loaded) {
  try {
    const starts = loaded.every(({ isKept }) => isKept) ? readStarts(folder) : {};
    const set = crc32(JSON.stringify(loaded.map(({ name }) => name).sort())).toString(36);
    const { bytecode_and_metadata_size: code } = getHeapCodeStatistics();
    if (code <= grown * starts[set]) return;
    mkdirSync(folder, { recursive: true });
    accessSync(folder, fileConstants.W_OK);
    for (const one of loaded) keepModule(folder, one);
    const others = Object.keys(starts).length < mostSets ? starts : {};
    writeWhole(join(folder, startsFile), JSON.stringify({ ...others, [set]: code }));
  } catch {
    // Nobody may write there, or the disk is full: the next run compiles again.
  }
}

/** Never puts less in place of more, as of a run that ended meanwhile. */
function keepModule(folder, { name, sum, script, isRejected }) {
  const file = join(folder, `${name}.bin`);
  const data = script.createCachedData();
  const before = isRejected ? undefined : readKept(file, sum);
  if (before !== undefined && data.length <= grown * before.length) return;
  const head = Buffer.alloc(headBytes);
  head.writeUInt32LE(sum, 0);
  head.writeUInt32LE(crc32(data), 4);
  writeWhole(file, Buffer.concat([head, data]));
}

/** Nothing where none were noted, or what was is spoilt. */
function readStarts(folder) {
  try {
    const noted = JSON.parse(readFileSync(join(folder, startsFile), "utf8"));
    return noted?.constructor === Object ? noted : {};
  } catch {
    return {};
  }
}

function writeWhole(file, content) {
  const made = `${file}.${process.pid}`;
  try {
    writeFileSync(made, content);
    renameSync(made, file);
  } catch (error) {
    rmSync(made, { force: true });
    throw error;
  }
}

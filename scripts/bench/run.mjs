/**
 * Runs the program in this process, as its launcher does, and writes as the last line of stderr
 * what it used: wall time in seconds and peak memory of the process with all its threads in bytes.
 */
import { main } from "../../program/main.js";

const began = process.hrtime.bigint();
await main(process.argv.slice(2));
const seconds = Number(process.hrtime.bigint() - began) / 1e9;
const { maxRSS, userCPUTime, systemCPUTime } = process.resourceUsage();
const cpuSeconds = (userCPUTime + systemCPUTime) / 1e6;
process.stderr.write(`\n${JSON.stringify({ seconds, cpuSeconds, peakBytes: 1024 * maxRSS })}\n`);

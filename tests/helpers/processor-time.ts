/**
 * Seconds of processor time that a piece of work takes in this process: what a clock on the wall says
 * depends on what else the machine does.
 */
export async function measureProcessorS(run: () => unknown): Promise<number> {
  const before = process.cpuUsage();
  await run();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}

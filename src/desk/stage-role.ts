/** What a stage does in a strip, whatever its name. */
export type StageRole =
  | "socket"
  | "input stage"
  | "input switch"
  | "low-cut"
  | "equaliser"
  | "insert"
  | "mute"
  | "fader"
  | "pan"
  | "send"
  | "routing"
  | "meter";

/** Words used in names of stages; a stage may have several roles. */
const words: readonly (readonly [StageRole, RegExp])[] = [
  ["insert", /insert/],
  ["input switch", /input switch|mic.?line (switch|relay)|source select|input select/],
  ["low-cut", /low.?cut|high.?pass|\bhpf\b|rumble/],
  ["equaliser", /equali[sz]er|\beq\b/],
  ["mute", /\bmute|\bcut (switch|element)/],
  ["fader", /fader|\bvca\b/],
  ["pan", /\bpan(pot)?\b|balance/],
  ["send", /\bsends?\b|\baux/],
  ["routing", /routing|assign|bus\b|mix resistor/],
  ["meter", /meter\b|\blamp|\bleds?\b/],
  ["socket", /socket|connector|\bplug\b|(?<!insert )jack/],
  ["input stage", /input stage|amplifier|pre.?amp|receiver|transformer|\btrim\b|\bgain\b|\bpad\b/],
];

/**
 * Roles of a stage, by its name in the desk file.
 *
 * @returns roles; none if no word is known
 * @example
 * classifyStage("pan and bus resistors"); // ["pan", "routing"]
 */
export function classifyStage(name: string): readonly StageRole[] {
  const text = name.toLowerCase();
  const roles = words.flatMap(([role, pattern]) => (pattern.test(text) ? [role] : []));
  // A side of the input switch may be named after its input stage, an insert after its jack.
  if (roles.includes("input switch")) return ["input switch"];
  return roles.includes("insert") ? ["insert"] : roles;
}

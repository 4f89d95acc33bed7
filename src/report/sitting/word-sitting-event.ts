import type { ChainCheck } from "../../sitting/check-chain.js";
import type { SittingEvent } from "../../sitting/sitting-events.js";
import type { Answer } from "../../sitting/types.js";
import { wordCause } from "../evidence/format-evidence.js";
import { wordFinding } from "../findings/format-finding.js";
import { formatHeard } from "../not-measured/format-heard.js";
import { formatAnswerReason } from "./format-answer.js";

/** An event with its words beside the data, as `--json` prints it. */
export function wordSittingEvent(event: SittingEvent): object {
  switch (event.kind) {
    case "nothing-came":
      return { ...event, instead: formatHeard(event.heard) };
    case "chain":
      return { ...event, chain: wordChain(event.chain) };
    case "answer":
      return { ...event, answer: wordAnswer(event.answer) };
    case "revised":
      return { ...event, answer: wordAnswer(event.answer), before: wordAnswer(event.before) };
    default:
      return event;
  }
}

/** The check of the chain with its words. */
export function wordChain(chain: ChainCheck): object {
  return chain.heard === undefined ? chain : { ...chain, instead: formatHeard(chain.heard) };
}

function wordAnswer(answer: Answer): object {
  const reason = formatAnswerReason(answer);
  const cause = answer.cause === undefined ? {} : { cause: wordCause(answer.cause) };
  const worded = { ...answer, findings: answer.findings.map(wordFinding), ...cause };
  return reason === undefined ? worded : { ...worded, reason };
}

import { type ChainCheck, listChainFaults } from "../../sitting/check-chain.js";
import { formatChange } from "../../text/format-signed.js";
import { formatHeard } from "../not-measured/format-heard.js";

/** What a soft signal sent through the chain shows: one problem per line, the worst first. */
export function formatChain(chain: ChainCheck): readonly string[] {
  const { sampleRate, heard, gainDb = 0, slipSamples, driftPpm = 0, levelMovesDb = 0 } = chain;
  const rate = `${sampleRate / 1000} kHz`;
  if (heard !== undefined) {
    return [
      `The signal did not come back: what was heard is ${formatHeard(heard)}.`,
      "Are the output and the input of `audio` in desk.yaml the right ones, is the plug in, and are player and recorder not muted?",
    ];
  }
  const off = `${formatChange(gainDb.toFixed(1))} dB`;
  const faults = listChainFaults(chain).map((fault): string => {
    switch (fault) {
      case "clips":
        return "It clips although it is soft: turn the interface's input down.";
      case "slips":
        return `About ${Math.abs(slipSamples ?? 0)} samples were ${(slipSamples ?? 0) < 0 ? "lost" : "repeated"} on the way: give the interface a larger buffer, and switch off any sample-rate conversion.`;
      case "level-moves":
        return `The level moves by ${levelMovesDb.toFixed(1)} dB within the signal: automatic gain, a limiter or other processing is in the way. Switch it off.`;
      case "two-clocks":
        return `Playing and recording run on two clocks, ${driftPpm.toFixed(1)} ppm apart, or a rate is converted: use one interface for both, at ${rate}.`;
      case "level-off":
        return `The level is ${off} of what was sent: is a fader, a knob or a pad in the way?`;
      case "inverted":
        return "It comes back with its polarity reversed.";
      default:
        return "The signal did not come back.";
    }
  });
  const came = `The signal came back at ${off} of what was sent, at ${rate}.`;
  return faults.length === 0 ? [`The chain is in order. ${came}`] : [...faults, came];
}

/** Programs for playing and recording that can be named without a command. */
export const audioPrograms = ["alsa", "pipewire", "pulse", "sox", "ffmpeg"] as const;

export type AudioProgram = (typeof audioPrograms)[number];

/** Placeholder that a user's own command must contain. */
export const filePlaceholder = "{file}";

/** How the computer plays and records. */
export interface AudioSetup {
  /** A program by its name, or a command with its arguments, each as one word. */
  readonly play: AudioProgram | readonly string[];
  readonly record: AudioProgram | readonly string[];
  /** Device to play on and to record from; the system's own choice when absent. */
  readonly output?: string;
  readonly input?: string;
  /** Channels to record. */
  readonly channels: number;
}

/**
 * What the user says of a file that the file itself does not, or says wrongly. Every field may be absent: then the reader decides, and
 * says what it took. What is said here is believed over the file.
 */
export interface ReadingHints {
  /** The character that parts cells: one of , ; tab | or a blank. */
  readonly separator?: ',' | ';' | '\t' | '|' | ' ';
  readonly decimalMark?: '.' | ',';
  /** Lines above the table that are not to be looked at for numbers. */
  readonly headerLines?: number;
  /** Columns count from 1. */
  readonly frequencyColumn?: number;
  readonly levelColumns?: readonly number[];
  /** Hz a number of the frequency column stands for. */
  readonly frequencyFactor?: number;
  /** The level unit by its name. */
  readonly unit?: string;
  /** What a first column is that rises and has no name. */
  readonly axisIs?: 'frequency' | 'time';
  /** For samples without a time axis. */
  readonly sampleRateHz?: number;
  /** What 0 Hz of complex samples is. */
  readonly centreHz?: number;
  /** For levels without a frequency axis: the first frequency and the step. */
  readonly startHz?: number;
  readonly stepHz?: number;
  /** Whether two channels of a recording are in-phase and quadrature or two signals. */
  readonly twoChannelsAre?: 'iq' | 'channels';
}

export const NO_HINTS: ReadingHints = {};

import type { InputProblem } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';

/** What a file begins with, how the reader parts it, and what comes of it so. */
export interface ReadingPreview {
  readonly file: string;
  /** Name of the layout, under which corrections are remembered. */
  readonly layoutKey: string;
  readonly format: string;
  readonly lines: readonly { readonly line: number; readonly text: string; readonly isRow: boolean }[];
  readonly separator: NonNullable<ReadingHints['separator']> | null;
  readonly decimalMark: '.' | ',' | null;
  readonly firstRow: number | null;
  readonly columns: readonly {
    readonly name: string;
    readonly role: 'frequency' | 'time' | 'level' | 'index' | 'other' | 'unknown';
    readonly unit: string | null;
    readonly first: readonly (number | null)[];
  }[];
  /** What was understood; null where it was refused. */
  readonly layout: string | null;
  readonly traces: readonly {
    readonly label: string;
    readonly points: number;
    readonly startHz: number;
    readonly stopHz: number;
    readonly unit: string;
    readonly lowest: number | null;
    readonly highest: number | null;
  }[];
  readonly recordings: readonly {
    readonly label: string;
    readonly samples: number;
    readonly sampleRateHz: number;
    readonly channels: readonly string[];
  }[];
  readonly warnings: readonly string[];
  readonly problem: InputProblem | null;
}

/** A file beside the one that is opened. */
export interface FileBeside {
  readonly file: string;
  readonly bytes: Uint8Array;
}

/** The spectra of one file one after another, as a screen shows them. */
export interface RowsOverTime {
  readonly label: string;
  /** What the columns span. */
  readonly lowHz: number;
  readonly highHz: number;
  readonly rows: number;
  readonly columns: number;
  /** Row after row, the largest level in decibels of each cell; NaN where there is none. */
  readonly levelDb: Float32Array;
  readonly unit: string;
  /** Seconds from the first row of the file to each row shown; null where the file gives no times. */
  readonly rowStartS: Float64Array | null;
  readonly rowsInFile: number;
}

/** A hand on the reader. */
export interface ReadingCalls {
  /** Adds nothing. A file that cannot be read is told of in `problem`; the call does not fail. */
  readingPreview(argument: {
    file: string;
    bytes: Uint8Array;
    companions?: readonly FileBeside[];
    hints: ReadingHints;
    jobId: string;
  }): Promise<ReadingPreview & { readonly remembered: ReadingHints | null }>;
  /** Null for a capture whose file holds one spectrum a trace. Rows of a recording are made of its first channel. */
  rowsOverTime(argument: {
    captureId: number;
    rows: number;
    columns: number;
    jobId: string;
  }): Promise<RowsOverTime | null>;
  /** Remembers corrections for every file of this layout; null forgets them. */
  readingRemember(argument: { layoutKey: string; hints: ReadingHints | null }): Promise<void>;
}

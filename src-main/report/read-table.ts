import type { Capture } from '../model/capture.ts';
import type { Trace } from '../model/trace.ts';
import { frequencyText, significant } from './figures.ts';
import { traceFacts } from './read-document.ts';
import { table, type Column } from './table.ts';
import { terminalText } from './terminal-text.ts';

/** What was understood of one file, for a reader at a terminal. Ends with a line end. */
export function readTable(capture: Capture): string {
  const head = `${capture.file}: ${capture.layout}\n  sha256 ${capture.sha256}`;
  return head.split('\n').map(terminalText).join('\n') + '\n' + table(COLUMNS, capture.traces);
}

const COLUMNS: readonly Column<Trace>[] = [
  { head: 'trace', align: 'left', cell: (trace) => trace.label || '(no name)' },
  { head: 'points', align: 'right', cell: (trace) => String(trace.frequencyHz.length) },
  { head: 'blank', align: 'right', cell: (trace) => String(traceFacts(trace).blankPoints) },
  { head: 'start', align: 'right', cell: (trace) => frequencyText(trace.frequencyHz[0]!) },
  { head: 'stop', align: 'right', cell: (trace) => frequencyText(trace.frequencyHz.at(-1)!) },
  { head: 'unit', align: 'left', cell: (trace) => trace.unit.name },
  { head: 'lowest', align: 'right', cell: (trace) => significant(traceFacts(trace).lowest, 5) },
  { head: 'highest', align: 'right', cell: (trace) => significant(traceFacts(trace).highest, 5) },
  {
    head: 'RBW',
    align: 'right',
    cell: ({ settings }) => (settings.rbwHz === null ? 'unknown' : frequencyText(settings.rbwHz)),
  },
  { head: 'averages', align: 'right', cell: ({ settings }) => String(settings.averages ?? 'unknown') },
  { head: 'averaging', align: 'left', cell: ({ settings }) => settings.averaging },
  { head: 'detector', align: 'left', cell: ({ settings }) => settings.detector },
];

import { comparedCaptures, compareInput } from '../api/steps/compare-captures.ts';
import { compareSides } from '../engine/compare.ts';
import { compareDocument } from '../report/compare-document.ts';
import { compareTable } from '../report/compare-table.ts';
import type { TriagedCapture } from '../report/triage-document.ts';
import type { Call } from './call.ts';
import { Collected } from './collected.ts';
import type { ExitStatus, Terminal } from './terminal.ts';
import { openRun, triageNamed } from './triage-command.ts';
import { triagedTrace } from './weigh-captures.ts';

/**
 * `compare --before FILE… --after FILE…`: triages every file, then follows each spur from side to side.
 *
 * A refused file is left out of its side; a side with no file left is not compared.
 */
export async function compareCommand(
  call: Extract<Call, { command: 'compare' }>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const collected = new Collected(terminal);
  const run = await openRun(call, [...call.before, ...call.after], terminal, collected);
  const side = (files: readonly string[]) =>
    files.map((file) => triageNamed(file, run)).filter((triaged) => triaged !== null);
  const before = side(call.before);
  const after = side(call.after);

  const compared =
    before.length === 0 || after.length === 0
      ? null
      : collected.attempt('compare', () => {
          const sides = { before: before.map(triagedTrace), after: after.map(triagedTrace) };
          const comparison = compareSides(
            compareInput({
              ...sides,
              sources: run.sources,
              bands: run.bands,
              clearedEarlier: [],
              repeats: call.reRigged ? 're-rigged' : 'sweep-to-sweep',
            }),
          );
          const warnings = [...before, ...after].flatMap(warningsOf);
          return { ...comparedCaptures(sides, comparison, []), warnings };
        });
  run.keeper?.close();
  if (compared !== null) collected.warn('compare', compared.comparison.warnings);
  else terminal.err('compare: nothing was compared\n');

  if (call.json) terminal.out(`${JSON.stringify(compareDocument(compared, collected.problems), null, 2)}\n`);
  else if (compared !== null) terminal.out(compareTable(compared));
  return collected.status;
}

/** What was said of one file, with its name: in the comparison's own list it would be nobody's. */
function warningsOf({ capture, warnings, triage }: TriagedCapture): string[] {
  const all = new Set([...capture.warnings, ...warnings, ...triage.floor.warnings, ...triage.warnings]);
  return [...all].map((warning) => `${capture.file}: ${warning}`);
}

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { analyseTrace } from '../../src-main/engine/analyse.ts';
import { weighEvidence } from '../../src-main/engine/weigh-evidence.ts';
import type { WeighedTriage } from '../../src-main/model/evidence.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../../src-main/model/evidence-settings.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import type { TriagedTrace } from '../../src-main/model/triaged-trace.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { parseConditionTable } from '../../src-main/readers/tables/condition-table.ts';
import { parseSourceTable } from '../../src-main/readers/tables/source-table.ts';
import { columnToDecibels } from '../../src-main/units/levels.ts';

const WREN = join(import.meta.dirname, '..', '..', 'sample-captures', 'wren');
const text = (name: string) => readFileSync(join(WREN, name), 'utf8');

type TrueLine = readonly [
  frequencyHz: number,
  levelDbm: number,
  over: number,
  owner: string,
  harmonic: number | null,
  clear: boolean,
];
const answers = JSON.parse(text('answers.json')) as { captures: { file: string; lines: TrueLine[] }[] };

const FILES = ['s0-as-built-1.csv', 's2-longer-strap.csv', 'all-off.csv', 'terminated.csv'];
let all: TriagedTrace[] = [];
beforeAll(() => {
  const sources = parseSourceTable(text('sources.csv'), 'sources.csv');
  const conditions = parseConditionTable(text('conditions.csv'), 'conditions.csv');
  all = FILES.map((file) => {
    const condition = conditions.find((row) => row.file === file)!;
    const [trace] = readCapture(readFileSync(join(WREN, 'captures', file)), file).traces;
    const triage = analyseTrace({ trace: trace!, sources, condition, settings: DEFAULT_TRIAGE_SETTINGS });
    return { trace: trace!, levelDb: columnToDecibels(trace!.level, trace!.unit), triage, condition, file };
  });
});

const weighed = (file: string): { subject: TriagedTrace; result: WeighedTriage } => {
  const subject = all.find((entry) => entry.file === file)!;
  const others = all.filter((entry) => entry !== subject);
  const sources = parseSourceTable(text('sources.csv'), 'sources.csv');
  return { subject, result: weighEvidence({ subject, others, sources, settings: DEFAULT_EVIDENCE_SETTINGS }) };
};

describe.each(FILES)('wren/%s weighed against the others', (file) => {
  it('knows stations and lines of the analyser where they stand clear, and puts no line of a source outside', () => {
    const { subject, result } = weighed(file);
    const { lines } = answers.captures.find((capture) => capture.file === file)!;
    let foreign = 0;
    let known = 0;
    for (const [frequencyHz, , over, owner, harmonic, clear] of lines) {
      const at = subject.triage.spurs.findIndex((spur) => Math.abs(spur.frequencyHz - frequencyHz) < 750);
      if (!clear || at < 0) continue;
      const { cause } = result.explanations[at]!;
      if (harmonic !== null) {
        expect(cause, `${owner} × ${harmonic} at ${frequencyHz} Hz`).not.toMatch(/ambient|instrument/);
      } else if (over > 12) {
        foreign++;
        if (cause === owner) known++;
      }
    }
    // stations fade by up to 3 dB between captures here: one of them may look partly ours
    expect(known).toBeGreaterThanOrEqual(foreign - 1);
    expect(foreign).toBeGreaterThan(2);
  });
});

import type { Spur } from '../../model/spur.ts';
import type { LineExplanation } from '../../model/attribution.ts';
import { decisionsOn } from '../../model/decision.ts';
import {
  formatChance,
  formatDecimal,
  formatFrequency,
  formatFrequencyWithDoubt,
  formatLevel,
  NO_VALUE,
} from '../../units/format.ts';
import { captureSettings } from './capture-settings.ts';
import type { Block } from './document.ts';
import { lettersOf, type CaptureFacts, type PacketFacts } from './packet-facts.ts';
import { spectrumPlot } from './spectrum-plot.ts';

/** Rows of a capture's list of spurs in print; all of them are in tables/spurs.csv. */
const ROWS = 30;

/** Every capture: how it was taken, its spectrum, its spurs with owner and doubt. */
export function capturesChapter(facts: PacketFacts): Block[] {
  return [
    { kind: 'heading', level: 2, text: 'Captures' },
    {
      kind: 'paragraph',
      tone: 'small',
      text: 'Grey: the trace, of each column its lowest and highest point. Broken line: mean noise power. Over each spur a disc: full, one source owns it; with a hole, two or more could; empty, nobody knows. Words over the plot: letter of the source and harmonic, and the frequency, the strongest in each slot.',
    },
    ...facts.captures.flatMap((capture) => captureBlocks(capture, facts)),
  ];
}

function captureBlocks(capture: CaptureFacts, { contents }: PacketFacts): Block[] {
  const { triage, unitName, columns, chainSigmaDb } = capture;
  const { file } = capture.capture;
  const letterOf = lettersOf(contents);
  const drawing = spectrumPlot({
    columns,
    spurs: triage.spurs,
    explanations: triage.explanations,
    letterOf,
    bands: contents.bands,
    unitName,
    name: file,
  });
  const decisions = decisionsOn(capture.capture.id, contents.decisions);
  return [
    { kind: 'heading', level: 3, text: file },
    { kind: 'figure', drawing, caption: `${file}: ${triage.spurs.length} spurs over the floor. ${triage.floor.why}` },
    { kind: 'facts', pairs: captureSettings(capture, contents) },
    ...(capture.references.some(({ as }) => as !== 'none')
      ? [
          {
            kind: 'list',
            items: capture.references.filter(({ as }) => as !== 'none').map(({ file, why }) => `${file}: ${why}`),
          } as const,
        ]
      : []),
    ...(triage.spurs.length === 0
      ? [
          {
            kind: 'paragraph',
            tone: 'plain',
            text: `No line stands over the floor; the weakest that would have been found with probability 0.95 is ${formatDecimal(triage.floor.weakestDetectableOverFloorDb, 1)} dB over it.`,
          } as const,
        ]
      : [spurTable(triage.spurs, triage.explanations, unitName, chainSigmaDb)]),
    ...(decisions.length === 0
      ? []
      : [
          {
            kind: 'list',
            items: decisions.map(
              (decision) =>
                `${formatFrequency(decision.frequencyHz)}: ${decision.kind}${decision.source === null ? '' : ` ${decision.source} × ${decision.harmonic ?? '?'}`} by ${decision.by}. ${decision.note}`,
            ),
          } as const,
        ]),
    ...(triage.warnings.length === 0 ? [] : [{ kind: 'list', items: triage.warnings } as const]),
  ];
}

/** What stands in the place of a source that a line has none of. */
const UNOWNED: Readonly<Partial<Record<LineExplanation['cause'], string>>> = {
  ambient: 'from outside',
  instrument: 'the measuring kit',
};

function spurTable(
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
  unitName: string,
  chainSigmaDb: readonly number[] | undefined,
): Block {
  const order = spurs.map((_, i) => i).sort((a, b) => spurs[b]!.overFloorDb - spurs[a]!.overFloorDb);
  const shown = order.slice(0, ROWS).sort((a, b) => a - b);
  const rest = spurs.length - shown.length;
  return {
    kind: 'table',
    caption: `${
      rest > 0
        ? `The ${ROWS} spurs highest over the floor, in order of frequency; ${rest} more in tables/spurs.csv`
        : 'Spurs in order of frequency'
    }${chainSigmaDb === undefined ? '' : '; ± of a level is the line’s own doubt and the calibration chain’s together'}`,
    columns: [
      { head: 'frequency', align: 'right', share: 23 },
      { head: 'level', align: 'right', share: 17 },
      { head: 'over floor [dB]', align: 'right', share: 10 },
      { head: 'cause', align: 'left', share: 12 },
      { head: 'source × harmonic', align: 'left', share: 24 },
      { head: 'chance of accident', align: 'left', share: 14 },
    ],
    rows: shown.map((i) => {
      const spur = spurs[i]!;
      const { cause, candidates } = explanations[i]!;
      return [
        formatFrequencyWithDoubt(spur.frequencyHz, spur.frequencySigmaHz),
        formatLevel(
          spur.levelDb,
          unitName === 'unknown' ? 'unknown' : unitName.startsWith('dB') ? unitName : `dB of ${unitName}`,
          Math.hypot(spur.levelSigmaDb, chainSigmaDb?.[i] ?? 0),
        ),
        formatDecimal(spur.overFloorDb, 1),
        cause,
        candidates
          .slice(0, 3)
          .map(({ source, harmonic }) => `${source ?? 'unknown comb'} × ${harmonic}`)
          .join(' or ') ||
          (UNOWNED[cause] ?? 'nobody knows'),
        candidates[0] === undefined ? NO_VALUE : formatChance(candidates[0].chance),
      ];
    }),
  };
}

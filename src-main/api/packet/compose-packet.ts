import { chainOf } from '../steps/calibrated-trace.ts';
import { nearestIndex } from '../../engine/tracking/side-trace.ts';
import { createHash } from 'node:crypto';
import { analyseTrace } from '../../engine/analyse.ts';
import { compareSides } from '../../engine/compare.ts';
import { decidedTriage } from '../../engine/evidence/decided-explanations.ts';
import { decisionsOn } from '../../model/decision.ts';
import { judgeRecheck } from '../../engine/judge-recheck.ts';
import { weighEvidence } from '../../engine/weigh-evidence.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../../model/evidence-settings.ts';
import type { PacketCapture, PacketContents } from '../../model/packet.ts';
import type { ClearedEarlier } from '../../model/track.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { columnsCsv } from '../../report/packet/columns-csv.ts';
import { documentHtml } from '../../report/packet/document-html.ts';
import { drawingSvg } from '../../report/packet/drawing-svg.ts';
import { losslessJson } from '../../report/packet/lossless-json.ts';
import { packetDocument } from '../../report/packet/packet-document.ts';
import {
  lettersOf,
  type CaptureFacts,
  type ComparisonFacts,
  type PacketFacts,
  type RecheckFacts,
} from '../../report/packet/packet-facts.ts';
import { packetTables } from '../../report/packet/packet-tables.ts';
import { plotColumns } from '../../report/packet/plot-columns.ts';
import { readmeText } from '../../report/packet/readme-text.ts';
import { spectrumPlot } from '../../report/packet/spectrum-plot.ts';
import { columnToDecibels } from '../../units/levels.ts';
import { comparedCaptures } from '../steps/compare-captures.ts';
import { followsFromFile } from './follows-from-file.ts';
import { documentPdf } from './document-pdf.ts';
import { judgeContents, type PacketTriaged } from './judge-contents.ts';
import { capturePaths, FLOOR_HEADS, PATHS, TRACE_HEADS } from './packet-paths.ts';
import { fontLicence } from './packet-fonts.ts';
import type { PacketSource } from './packet-source.ts';
import { calibratedCapture } from './triage-input.ts';

/** Takes one file of the packet. Called in an order that is the same for the same contents. */
export type Sink = (path: string, bytes: Uint8Array) => void;
type Progress = (fraction: number, step: string) => void;

/** Columns of a printed spectrum; finer than print shows. */
const PLOT_COLUMNS = 460;

/**
 * Makes every file of a packet from its contents and traces: computes all results anew, then writes inputs, results, tables,
 * plots, page and print. The same contents, traces and version give the same bytes: writing and verifying both rest on this.
 */
export function composePacket(source: PacketSource, sink: Sink, onProgress: Progress = () => {}): PacketFacts {
  const { contents } = source;
  const put = (path: string, text: string): void => sink(path, Buffer.from(text, 'utf8'));
  put(PATHS.contents, losslessJson(contents));
  put(PATHS.readme, readmeText(contents));

  const triaged = new Map<number, PacketTriaged>();
  const captures = contents.captures
    .map((capture, i): CaptureFacts => {
      onProgress((0.7 * i) / contents.captures.length, capture.file);
      const one = triageOne(source, capture);
      triaged.set(capture.id, one);
      writeCapture(source, capture, one, sink);
      return factsOf(capture, one, followsFromFile(source, capture));
    })
    .map((alone) => weighedFacts(alone, contents, triaged));
  put(
    PATHS.weighed,
    losslessJson(
      captures.map(({ capture: { file }, triage, references }) => ({
        file,
        references,
        explanations: triage.explanations,
      })),
    ),
  );
  for (const capture of captures) put(capturePaths(contents, capture.capture).plot, plotOf(capture, contents));

  put(
    PATHS.originals,
    losslessJson(captures.map(({ capture: { file, sha256 }, followsFromFile }) => ({ file, sha256, followsFromFile }))),
  );

  const comparisons: ComparisonFacts[] = [];
  for (const [i] of contents.comparisons.entries()) {
    onProgress(0.7 + (0.15 * i) / contents.comparisons.length, contents.comparisons[i]!.name);
    comparisons.push(compareOne(contents, i, comparisons, triaged));
  }
  put(
    PATHS.comparisons,
    losslessJson(comparisons.map(({ asked, result, sentence }) => ({ name: asked.name, sentence, ...result }))),
  );

  const rechecks = contents.rechecks.map((recheck): RecheckFacts => ({
    recheck,
    judgement: judgeRecheck({
      recheck,
      states: contents.states,
      baselineStateId: baselineStateId(contents, recheck.items[0]?.baselineCaptureId),
      triaged,
      sources: sourcesOf(contents),
      bands: contents.bands,
      decisions: contents.decisions,
    }),
  }));
  put(PATHS.rechecks, losslessJson(rechecks));
  onProgress(0.85, 'verdicts');
  const judgement = judgeContents(contents, triaged);
  put(PATHS.judgement, losslessJson(judgement));

  onProgress(0.9, 'tables, page and print');
  const facts: PacketFacts = { contents, captures, comparisons, judgement, rechecks };
  for (const [name, text] of packetTables(facts)) put(`tables/${name}`, text);
  const document = packetDocument(facts);
  put(
    PATHS.html,
    documentHtml(document, (text) => createHash('sha256').update(text, 'utf8').digest('base64')),
  );
  sink(PATHS.pdf, documentPdf(document, contents.at));
  put(PATHS.fontLicence, fontLicence());
  onProgress(1, 'done');
  return facts;
}

function sourcesOf({ sources }: PacketContents) {
  return sources.map(({ source }) => source);
}

function baselineStateId({ captures }: PacketContents, captureId: number | undefined): number | null {
  return captures.find(({ id }) => id === captureId)?.stateId ?? null;
}

function triageOne(source: PacketSource, capture: PacketCapture): PacketTriaged {
  const { contents } = source;
  const { condition, settings, file } = capture;
  const { trace, sigmaDb } = calibratedCapture(capture, source.trace(capture.id, capture.traceIndex));
  const triage =
    source.triageAhead?.(capture) ?? analyseTrace({ trace, sources: sourcesOf(contents), condition, settings });
  return {
    trace,
    levelDb: columnToDecibels(trace.level, trace.unit),
    triage,
    condition,
    file,
    chainSigmaDb: sigmaDb,
    ...chainOf(capture.tables, sigmaDb),
  };
}

function writeCapture(source: PacketSource, capture: PacketCapture, { triage }: TriagedTrace, sink: Sink): void {
  const paths = capturePaths(source.contents, capture);
  const put = (path: string, text: string): void => sink(path, Buffer.from(text, 'utf8'));
  sink(paths.original, source.original(capture.id));
  for (const index of capture.traces.keys()) {
    const { frequencyHz, level } = source.trace(capture.id, index);
    put(paths.trace(index), columnsCsv(TRACE_HEADS, [frequencyHz, level]));
  }
  const { meanDb, thresholdDb, ...floor } = triage.floor;
  put(paths.triage, losslessJson({ capture: capture.file, ...triage, floor }));
  put(paths.floor, columnsCsv(FLOOR_HEADS, [meanDb, thresholdDb]));
}

/** What print and tables need of a capture; its columns of a million points are left behind. */
function factsOf(
  capture: PacketCapture,
  { trace, levelDb, triage, chainSigmaDb }: PacketTriaged,
  follows: boolean,
): CaptureFacts {
  const columns = plotColumns(trace.frequencyHz, levelDb, triage.floor.meanDb, PLOT_COLUMNS);
  const ofChain = triage.spurs.map(({ frequencyHz }) => chainSigmaDb[nearestIndex(trace.frequencyHz, frequencyHz)]!);
  return {
    capture,
    triage,
    unitName: trace.unit.name,
    columns,
    followsFromFile: follows,
    references: [],
    ...(capture.tables.length === 0 ? {} : { chainSigmaDb: ofChain }),
  };
}

/** What references of its point (sources off, input terminated, attenuated) say of a capture's lines, and what was decided of them: print and tables show that. */
function weighedFacts(
  alone: CaptureFacts,
  contents: PacketContents,
  triaged: ReadonlyMap<number, PacketTriaged>,
): CaptureFacts {
  const { capture, triage } = alone;
  const others = contents.captures.filter(
    ({ id, pointId, condition }) => id !== capture.id && pointId === capture.pointId && condition.role !== 'item',
  );
  const weighed = weighEvidence({
    subject: triaged.get(capture.id)!,
    others: capture.condition.role === 'item' ? others.map(({ id }) => triaged.get(id)!) : [],
    sources: sourcesOf(contents),
    settings: DEFAULT_EVIDENCE_SETTINGS,
  });
  const explanations = weighed.explanations.map(({ evidence: _evidence, ...explanation }) => explanation);
  const own = { ...triaged.get(capture.id)!, triage: { ...triage, explanations, combs: weighed.combs } };
  const decided = decidedTriage(own, decisionsOn(capture.id, contents.decisions), sourcesOf(contents));
  return { ...alone, references: weighed.references, triage: decided.triage };
}

function plotOf({ capture, triage, unitName, columns }: CaptureFacts, contents: PacketContents): string {
  const { spurs, explanations } = triage;
  const drawing = spectrumPlot({
    columns,
    spurs,
    explanations,
    letterOf: lettersOf(contents),
    bands: contents.bands,
    unitName,
    name: capture.file,
  });
  return `${drawingSvg(drawing, 'title')}\n`;
}

function compareOne(
  contents: PacketContents,
  place: number,
  earlier: readonly ComparisonFacts[],
  triaged: ReadonlyMap<number, TriagedTrace>,
): ComparisonFacts {
  const asked = contents.comparisons[place]!;
  const side = (ids: readonly number[]): TriagedTrace[] =>
    ids.map((id) => decidedTriage(triaged.get(id)!, decisionsOn(id, contents.decisions), sourcesOf(contents)));
  const sides = { before: side(asked.beforeIds), after: side(asked.afterIds) };
  const clearedEarlier = asked.after.flatMap((i) => (earlier[i] === undefined ? [] : clearedIn(earlier[i])));
  const result = compareSides({
    ...sides,
    sources: sourcesOf(contents),
    bands: contents.bands,
    settings: asked.settings,
    clearedEarlier,
  });
  return { asked, result, sentence: comparedCaptures(sides, result, asked.meantFor).sentence };
}

function clearedIn({ result }: ComparisonFacts): ClearedEarlier[] {
  return result.tracks.flatMap(({ status, source, harmonic, beforeSpur }) =>
    status === 'cleared' && beforeSpur !== null
      ? [{ source, harmonic, frequencyHz: result.beforeSpurs[beforeSpur]!.frequencyHz }]
      : [],
  );
}

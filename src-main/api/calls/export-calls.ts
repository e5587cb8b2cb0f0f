import { spurAnnotations } from '../../report/export/spur-annotations.ts';
import { fitToCompare } from '../../engine/fit-to-compare.ts';
import { compareDocument } from '../../report/compare-document.ts';
import { spursCsv, spursDocument } from '../../report/export/export-spurs.ts';
import { sourcesDocument } from '../../report/export/export-sources.ts';
import { traceCsv, traceDocument } from '../../report/export/export-trace.ts';
import { tracksCsv } from '../../report/export/export-tracks.ts';
import { drawingSvg } from '../../report/packet/drawing-svg.ts';
import { plotColumns } from '../../report/packet/plot-columns.ts';
import { spectrumPlot } from '../../report/packet/spectrum-plot.ts';
import type { Json } from '../../report/plain-json.ts';
import { writeSourceTable } from '../../readers/tables/source-table.ts';
import { readCapture } from '../../readers/read-capture.ts';
import { annotatedSigmf, sigmfMetadata } from '../../readers/sigmf/write-sigmf.ts';
import { columnToDecibels } from '../../units/levels.ts';
import type { RecordingAnnotation } from '../../model/recording.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { ApiParts } from '../api-parts.ts';
import { Refused } from '../api-problem.ts';
import type { ExportWhat, Exported, RecordingCalls } from '../contract/recording-calls.ts';
import { tablesOf } from '../steps/calibrated-trace.ts';
import { chainDoubt } from '../steps/chain-doubt.ts';
import { hintsOfCapture } from '../steps/kept-hints.ts';
import { runComparison } from '../steps/run-comparison.ts';
import { freshTriage, runTriage, sourcesOf } from '../steps/take-triage.ts';

type Calls = Pick<RecordingCalls, 'exportRun' | 'fitToCompare'>;

/** Columns of an exported plot: as many as print can show. */
const PLOT_COLUMNS = 1200;

/** What leaves the program, and whether captures are fit to be compared. */
export function exportCalls(parts: ApiParts): Calls {
  const { session } = parts;
  const captureOf = (id: number): StoredCapture => session.register.captures.get(id);
  const triageOf = async (capture: StoredCapture, jobId: string) =>
    freshTriage(parts, capture) ?? (await runTriage(parts, capture, jobId, progressOf(jobId)));
  const progressOf = (jobId: string) => (fraction: number, step: string) =>
    session.settings.emit('progress', { jobId, fraction, step });

  async function textOf(what: ExportWhat, jobId: string): Promise<string> {
    if (what.of === 'sources')
      return what.as === 'csv' ? writeSourceTable(sourcesOf(parts)) : json(sourcesDocument(sourcesOf(parts)));
    if (what.of === 'tracks') {
      const captures = await runComparison(parts, { ...what, jobId }, progressOf(jobId));
      return what.as === 'csv' ? tracksCsv(captures) : json(compareDocument(captures, []));
    }
    const capture = captureOf(what.captureId);
    const trace = session.trace(capture, capture.traceIndex);
    const { file, sha256 } = capture;
    if (what.of === 'trace') return what.as === 'csv' ? traceCsv(trace) : json(traceDocument(trace, file, sha256));
    const { triage } = await triageOf(capture, jobId);
    const ofChain = chainDoubt(session, capture.id, capture.traceIndex, triage.spurs)?.sigmaDb ?? null;
    if (what.of === 'spurs')
      return what.as === 'csv'
        ? spursCsv(triage, trace, ofChain)
        : json(spursDocument(triage, trace, { file, sha256 }, ofChain));
    if (what.of === 'annotations') return annotations(capture, spurAnnotations(triage, ofChain));
    const first = trace.frequencyHz.findIndex((hz) => hz >= what.lowHz);
    const end = trace.frequencyHz.findLastIndex((hz) => hz <= what.highHz) + 1;
    if (first < 0 || end - first < 2)
      throw new Refused(`${file} has no two points between ${what.lowHz} and ${what.highHz} Hz.`);
    const cut = (column: Float64Array): Float64Array => column.subarray(first, end);
    const levelDb = columnToDecibels(trace.level, trace.unit);
    const { sources } = session.register;
    const letters = new Map(sources.list().map(({ source, letter }) => [source.designator, letter]));
    const shown = triage.spurs.map(({ frequencyHz }) => what.lowHz <= frequencyHz && frequencyHz <= what.highHz);
    const drawing = spectrumPlot({
      columns: plotColumns(cut(trace.frequencyHz), cut(levelDb), cut(triage.floor.meanDb), PLOT_COLUMNS),
      spurs: triage.spurs.filter((_, i) => shown[i]),
      explanations: triage.explanations.filter((_, i) => shown[i]),
      letterOf: (designator) => letters.get(designator) ?? '?',
      bands: session.register.bands.list(),
      unitName: trace.unit.name,
      name: file,
    });
    return `<?xml version="1.0" encoding="UTF-8"?>\n${drawingSvg(drawing, 'plot')}\n`;
  }

  function annotations(capture: StoredCapture, found: readonly RecordingAnnotation[]): string {
    const bytes = session.register.captures.bytes(capture.id);
    if (/\.sigmf-meta$/i.test(capture.file)) {
      const text = new TextDecoder().decode(bytes);
      return annotatedSigmf(text, capture.file, found);
    }
    const beside = session.register.captures.beside(capture.id);
    for (const [name, meta] of beside)
      if (/\.sigmf-meta$/i.test(name)) return annotatedSigmf(new TextDecoder().decode(meta), name, found);
    const [recording] =
      readCapture(bytes, capture.file, beside, hintsOfCapture(session.register, capture.sha256)).recordings ?? [];
    if (recording === undefined)
      throw new Refused(
        `${capture.file} holds no recording, so there is nothing that annotations could be written to.`,
      );
    if (recording.samples.kind !== 'stored' || recording.samples.type === 'i24')
      throw new Refused(
        `The samples of ${capture.file} are ${recording.samples.kind === 'held' ? 'text' : 'numbers of 24 bits'}, which SigMF metadata cannot describe.`,
      );
    const { dataFile } = recording.samples;
    return sigmfMetadata(recording, found, {
      file: nameOf(dataFile ?? capture.file),
      bytes: (beside.get(dataFile ?? '') ?? bytes).length,
    });
  }

  return {
    async exportRun({ what, jobId }): Promise<Exported> {
      const text = await textOf(what, jobId);
      const of = 'captureId' in what ? stemOf(captureOf(what.captureId).file) : titleOf(session.register.facts().title);
      const part = what.of === 'annotations' ? '' : `-${what.of}`;
      return { file: `${of}${part}.${what.as}`, text };
    },
    fitToCompare({ beforeCaptureIds, afterCaptureIds }) {
      const fit = (ids: readonly number[]) =>
        ids.map(captureOf).map((capture) => ({
          file: capture.file,
          trace: session.trace(capture, capture.traceIndex),
          condition: capture.condition,
          tables: tablesOf(session.register, capture.calibration),
        }));
      const today = session.settings.now().toISOString().slice(0, 10);
      return Promise.resolve(fitToCompare(fit(beforeCaptureIds), fit(afterCaptureIds), today));
    },
  };
}

function json(document: Json): string {
  return `${JSON.stringify(document, null, 2)}\n`;
}

function nameOf(file: string): string {
  return file.replace(/^.*[/\\]/, '');
}

function stemOf(file: string): string {
  return nameOf(file).replace(/\.[^.]+$/, '');
}

function titleOf(title: string): string {
  const plain = title.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '');
  return plain === '' ? 'register' : plain;
}

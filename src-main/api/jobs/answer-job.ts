import { analyseTrace } from '../../engine/analyse.ts';
import { compareSides } from '../../engine/compare.ts';
import { followStates } from '../../engine/follow-states.ts';
import { judgeBuild } from '../../engine/judge-build.ts';
import { planFrequencies } from '../../engine/plan.ts';
import { InputError } from '../../model/input-problem.ts';
import { openCapture } from '../steps/open-capture.ts';
import { readingPreview } from '../steps/reading-preview.ts';
import { rowsOverTime } from '../steps/rows-over-time.ts';
import { spectrumOf, timeStructureOf } from '../steps/spectrum-of.ts';
import type { JobReply, JobRequest } from './jobs.ts';

type Say = (reply: JobReply, transfer: ArrayBuffer[]) => void;
type Answering = typeof outputOf;

/** Does one job and says what came of it. Never throws: every failure is a reply. */
export function answerJob(request: JobRequest, say: Say): void {
  if (request.kind !== 'packet' && request.kind !== 'verify') return answerBy(outputOf, request, say);
  // what prints a packet is loaded by the one worker that is asked for it
  void import('../packet/packet-jobs.ts').then(({ packetOutput }) =>
    answerBy(packetOutput as unknown as Answering, request, say),
  );
}

function answerBy(outputOf: Answering, request: JobRequest, say: Say): void {
  try {
    const output = outputOf(request, (fraction, step) => say({ say: 'progress', fraction, step }, []));
    // What the job made is handed over, not copied: a trace of 10⁷ points would cost 160 MB twice.
    say({ say: 'done', output }, buffersOf(output));
  } catch (error) {
    if (error instanceof InputError) say({ say: 'refused', problem: error.problem }, []);
    else say({ say: 'failed', message: error instanceof Error ? (error.stack ?? error.message) : String(error) }, []);
  }
}

function outputOf(request: JobRequest, onProgress: (fraction: number, step: string) => void) {
  switch (request.kind) {
    case 'read':
      onProgress(0, 'reading');
      return openCapture(request.input.bytes, request.input.file, request.input.companions, {
        hints: request.input.hints,
        onProgress,
      });
    case 'preview': {
      const { bytes, file, companions, hints } = request.input;
      onProgress(0, 'looking at it');
      return readingPreview(bytes, file, companions, hints);
    }
    case 'rows':
      onProgress(0, 'reading');
      return rowsOverTime(request.input, onProgress);
    case 'spectrum':
      return spectrumOf(request.input, onProgress);
    case 'time':
      return timeStructureOf(request.input, onProgress);
    case 'triage':
      return analyseTrace({ ...request.input, onProgress });
    case 'compare':
      return compareSides({ ...request.input, onProgress });
    case 'follow':
      return followStates({ ...request.input, onProgress });
    case 'judge':
      return judgeBuild({ ...request.input, onProgress });
    case 'plan':
      return planFrequencies({ ...request.input, onProgress });
    case 'packet':
    case 'verify':
      throw new Error('packets have their own way, see answerJob');
  }
}

/** Every buffer under a result, each once: traces of one file share their frequency column. */
function buffersOf(value: unknown, found = new Set<ArrayBuffer>()): ArrayBuffer[] {
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
  } else if (typeof value === 'object' && value !== null) {
    for (const inner of Object.values(value)) buffersOf(inner, found);
  }
  return [...found];
}

import type { ApiParts } from '../api-parts.ts';
import type { ReadingCalls } from '../contract/reading-calls.ts';
import { hintsOfCapture, hintsOfLayout, rememberLayout } from '../steps/kept-hints.ts';

/** A hand on the reader: how a file is parted, and corrections that are remembered for its layout. */
export function readingCalls({ session, jobs }: ApiParts): ReadingCalls {
  return {
    async readingPreview({ file, bytes, companions, hints, jobId }) {
      const beside = new Map((companions ?? []).map((companion) => [companion.file, companion.bytes]));
      const onProgress = (fraction: number, step: string) =>
        session.settings.emit('progress', { jobId, fraction, step });
      const preview = await jobs.run('preview', { file, bytes, companions: beside, hints }, { jobId, onProgress });
      onProgress(1, 'done');
      return { ...preview, remembered: hintsOfLayout(session.register, preview.layoutKey) };
    },
    async rowsOverTime({ captureId, rows, columns, jobId }) {
      const { register } = session;
      const { file, sha256 } = register.captures.get(captureId);
      const bytes = register.captures.bytes(captureId);
      const hints = hintsOfCapture(register, sha256);
      const onProgress = (fraction: number, step: string) =>
        session.settings.emit('progress', { jobId, fraction, step });
      return jobs.run(
        'rows',
        { file, bytes, companions: register.captures.beside(captureId), hints, rows, columns },
        { jobId, onProgress },
      );
    },
    readingRemember({ layoutKey, hints }) {
      rememberLayout(session.register, layoutKey, hints);
      session.changed(['settings']);
      return Promise.resolve();
    },
  };
}

import type { ApiParts } from '../api-parts.ts';
import type { WaterfallCalls } from '../contract/waterfall-calls.ts';
import { freshTriage } from '../steps/take-triage.ts';
import { waterfallRow } from '../steps/waterfall-row.ts';

/** Captures as rows over one frequency axis. */
export function waterfallCalls(parts: ApiParts): WaterfallCalls {
  const { session } = parts;
  return {
    waterfall({ captureIds, lowHz, highHz, columns }) {
      const captures = captureIds.map((id) => session.register.captures.get(id));
      const levelDb = new Float32Array(captures.length * columns);
      const rows = captures.map((capture, row) => {
        const drawn = session.drawn(capture, capture.traceIndex);
        levelDb.set(waterfallRow(drawn, { lowHz, highHz, columns }), row * columns);
        const combs = freshTriage(parts, capture)?.triage.combs ?? null;
        return {
          captureId: capture.id,
          combs:
            combs?.map(({ source, fundamentalHz, fundamentalSigmaHz }) => ({
              source,
              fundamentalHz,
              fundamentalSigmaHz,
            })) ?? null,
        };
      });
      return Promise.resolve({ rows, columns, levelDb });
    },
  };
}

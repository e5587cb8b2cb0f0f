import { createHash } from 'node:crypto';
import { silentCondition } from '../../model/silent-condition.ts';
import { Refused } from '../api-problem.ts';
import type { Api, CaptureSummary } from '../contract.ts';
import type { ApiParts } from '../api-parts.ts';
import { thinTrace } from '../thin-trace.ts';
import { layoutKey } from '../../readers/layout-key.ts';
import { asRemembered, hintsOfLayout, keepHintsOfCapture } from '../steps/kept-hints.ts';
import { chooseTrace } from '../steps/choose-trace.ts';
import { mustBeThere } from '../steps/must-be-there.ts';
import { freshTriage } from '../steps/take-triage.ts';
import { neededBeside } from '../steps/needed-beside.ts';
import { sharedBytes } from '../steps/shared-bytes.ts';

type CaptureCalls = Pick<
  Api,
  'captureAdd' | 'captureList' | 'captureRemove' | 'captureAssign' | 'traceColumns' | 'overlayColumns'
>;

export function captureCalls(parts: ApiParts): CaptureCalls {
  const { session, jobs } = parts;
  const list = (): CaptureSummary[] => {
    const { captures, results } = session.register;
    return captures.list().map((capture) => ({ ...capture, spurs: results.spurCount(capture.id, capture.traceIndex) }));
  };
  return {
    async captureAdd({ file, bytes, jobId, companions, hints }) {
      const { register } = session;
      const onProgress = (fraction: number, step: string) =>
        session.settings.emit('progress', { jobId, fraction, step });
      // The same bytes again need not be read again.
      const known = register.captures.findBySha256(createHash('sha256').update(bytes).digest('hex'));
      if (known !== null && hints === undefined)
        return { capture: list().find(({ id }) => id === known.id)!, alreadyKnown: true };
      const remembered = hints === undefined ? hintsOfLayout(register, layoutKey(bytes, file)) : null;
      const used = hints ?? remembered ?? undefined;
      const beside = new Map((companions ?? []).map((companion) => [companion.file, companion.bytes]));
      const read = await jobs.run(
        'read',
        { file, bytes: sharedBytes(bytes), companions: beside, hints: used },
        { jobId, onProgress },
      );
      const capture = remembered === null ? read : asRemembered(read);
      if (session.register !== register)
        throw new Refused('Another register was opened meanwhile; add the capture again.');
      const condition = silentCondition(file);
      const { traceIndex } = chooseTrace(capture, null, condition);
      const added = register.step(() => {
        // read anew: it takes the place of what was read before, and keeps its state, point and condition
        if (known !== null) register.captures.remove([known.id]);
        const taken = register.captures.add(
          capture,
          bytes,
          known?.condition ?? condition,
          traceIndex,
          neededBeside(capture, beside),
        );
        if (known !== null)
          register.captures.assign([taken.capture.id], { stateId: known.stateId, pointId: known.pointId });
        keepHintsOfCapture(register, capture.sha256, used);
        return taken;
      });
      if (!added.alreadyKnown) {
        session.keepDrawn(added.capture, traceIndex, capture.traces[traceIndex]!);
        session.changed(['capture']);
      }
      onProgress(1, 'done');
      return { capture: list().find(({ id }) => id === added.capture.id)!, alreadyKnown: added.alreadyKnown };
    },
    captureList: () => Promise.resolve(list()),
    captureRemove({ captureIds }) {
      session.register.captures.remove(captureIds);
      session.changed(['capture']);
      return Promise.resolve();
    },
    captureAssign({ captureIds, role, condition, traceIndex, ...places }) {
      for (const id of captureIds) {
        const { traces, file } = session.register.captures.get(id);
        if (traceIndex !== undefined && traceIndex >= traces.length) {
          throw new Refused(`${file} has ${traces.length} traces, so there is no trace ${traceIndex + 1}.`);
        }
      }
      const { states, points } = session.register;
      mustBeThere(states, places.stateId, 'state');
      mustBeThere(points, places.pointId, 'point');
      const stated = { ...condition, ...(role === undefined ? {} : { role }) };
      session.register.captures.assign(captureIds, {
        ...places,
        ...(traceIndex === undefined ? {} : { traceIndex }),
        ...(Object.keys(stated).length === 0 ? {} : { condition: stated }),
      });
      session.changed(['capture', 'condition']);
      return Promise.resolve(list().filter(({ id }) => captureIds.includes(id)));
    },
    traceColumns({ captureId, traceIndex, ...view }) {
      const capture = session.register.captures.get(captureId);
      const kept = freshTriage(parts, capture);
      const floor = kept?.traceIndex === traceIndex ? kept.triage.floor : null;
      const thinned = thinTrace(session.drawn(capture, traceIndex), floor, view);
      return Promise.resolve({ captureId, traceIndex, ...thinned });
    },
    overlayColumns({ captureIds, combine, ...view }) {
      const [first, ...others] = captureIds.map((id) => session.register.captures.get(id));
      if (first === undefined) throw new Refused('There is no capture to combine.');
      const drawn = session.combined([first, ...others], combine);
      const thinned = thinTrace(drawn, null, view);
      return Promise.resolve({ captureId: first.id, traceIndex: first.traceIndex, ...thinned });
    },
  };
}

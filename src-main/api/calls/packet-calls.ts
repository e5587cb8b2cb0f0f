import { isAbsolute, join } from 'node:path';
import { judgeRecheck } from '../../engine/judge-recheck.ts';
import type { Recheck } from '../../model/recheck.ts';
import type { ReviewNote } from '../../model/review-note.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { Refused } from '../api-problem.ts';
import type { ApiParts } from '../api-parts.ts';
import type { PacketCalls, RecheckView } from '../contract/packet-calls.ts';
import { contentsDifferences } from '../packet/contents-differences.ts';
import { clockProblem, differencesFromLast, freezeState } from '../packet/freeze-state.ts';
import { withRepeats } from '../packet/match-repeats.ts';
import { mustBeNew } from '../packet/packet-folder.ts';
import { sourceOf } from '../packet/packet-of-register.ts';
import { recheckView } from '../packet/recheck-view.ts';
import { contentsNow, frozenContents } from '../packet/register-source.ts';
import { publicKeyOf } from '../packet/signature.ts';
import { triageAhead } from '../packet/triage-ahead.ts';
import { sourceToVerify } from '../packet/verify-packet.ts';
import { mustSign } from '../packet/write-packet.ts';
import { freshTriage, runTriage, sourcesOf, triagedTrace } from '../steps/take-triage.ts';

/** Freezing, packets, re-checks, the review. */
export function packetCalls(parts: ApiParts): PacketCalls {
  const { session, jobs, about } = parts;
  const register = () => session.register;
  const engineVersion = about.version;
  const now = (): Date => session.settings.now();
  const whole = (folder: string): string =>
    isAbsolute(folder) ? folder : join(session.settings.documentsFolder, folder);
  const progressOf =
    (jobId: string, from: number, to: number) =>
    (fraction: number, step: string): void =>
      session.settings.emit('progress', { jobId, fraction: from + (to - from) * fraction, step });
  const change = <T>(subject: string, act: () => T): Promise<T> => {
    const result = act();
    session.changed([subject]);
    return Promise.resolve(result);
  };
  const recheckOf = (id: number): Recheck => {
    const recheck = register().rechecks.get(id);
    if (recheck === null) throw new Refused(`There is no re-check ${id} in this register.`);
    return recheck;
  };
  const changeRecheck = (id: number, with_: (recheck: Recheck) => Omit<Recheck, 'id'>): Promise<RecheckView> =>
    change('recheck', () => {
      const { rechecks } = register();
      return recheckView(register(), rechecks.put(id, with_(recheckOf(id))));
    });

  return {
    freezeList() {
      const all = register().freezes.list();
      return Promise.resolve(
        all.map((freeze) => ({
          freeze,
          packets: register()
            .packets.list()
            .filter(({ freezeId }) => freezeId === freeze.id),
          captureIds: register().freezes.held(freeze.id, 'capture'),
          differsSince: contentsDifferences(
            frozenContents(register(), freeze),
            contentsNow(register(), freeze.stateId, engineVersion),
          ),
        })),
      );
    },
    freezeOffer({ stateId }) {
      const contents = contentsNow(register(), stateId, engineVersion);
      return Promise.resolve({
        states: contents.states.map(({ name }) => name),
        captures: contents.captures.length,
        differs: differencesFromLast(register(), contents),
        leftOut: contents.leftOut,
        refusedBecause: clockProblem(register(), now()),
      });
    },
    freezePut: ({ stateId, note, by }) =>
      change('freeze', () => freezeState(register(), { stateId, note, by, now: now(), engineVersion })),
    freezeReopen: ({ freezeId, by, reason }) =>
      change('freeze', () => register().freezes.reopen(freezeId, { by, reason, at: now().toISOString() })),

    async packetWrite({ freezeId, folder, key, jobId }) {
      const target = whole(folder);
      // what would be refused in the end is refused before the work
      mustBeNew(target);
      if (key !== null) mustSign(key);
      const at = now().toISOString();
      const source = sourceOf(register(), { freezeId, engineVersion });
      const triages = await triageAhead(source, jobs, jobId, progressOf(jobId, 0, 0.7));
      const { path } = register();
      const { who } = session.settings;
      const order = { register: path, who, at, freezeId, folder: target, key, engineVersion, triages };
      const made = await jobs.run('packet', order, { jobId, onProgress: progressOf(jobId, 0.7, 1) });
      session.changed(['packet']);
      return {
        folder: target,
        manifestSha256: made.manifestSha256,
        files: made.files.length,
        revision: made.revision,
        signed: key !== null,
      };
    },
    async packetVerify({ folder, publicKey, jobId }) {
      const target = whole(folder);
      if (publicKey !== null) publicKeyOf(publicKey.pem, publicKey.file);
      const source = sourceToVerify(target);
      const triages = source === null ? new Map() : await triageAhead(source, jobs, jobId, progressOf(jobId, 0, 0.7));
      const job = { folder: target, publicKey, engineVersion, triages };
      return jobs.run('verify', job, { jobId, onProgress: progressOf(jobId, 0.7, 1) });
    },

    recheckList: () =>
      Promise.resolve(
        register()
          .rechecks.list()
          .map((recheck) => recheckView(register(), recheck)),
      ),
    recheckOpen({ freezeId, eventId, by }) {
      const freeze = register().freezes.get(freezeId);
      const event = register().events.get(eventId);
      if (event === null) throw new Refused(`There is no event ${eventId} in this register.`);
      if (
        register()
          .rechecks.list()
          .some((one) => one.freezeId === freezeId && one.eventId === eventId)
      )
        throw new Refused('There is a re-check of this revision after this event already.');
      const held = new Set(register().freezes.held(freezeId, 'capture'));
      const items = register()
        .captures.list()
        .filter(({ id, stateId }) => held.has(id) && stateId === freeze.stateId)
        .map(({ id }) => ({ baselineCaptureId: id, repeatedBy: [], droppedBecause: null }));
      if (items.length === 0)
        throw new Refused(
          `Revision ${freeze.revision} holds no capture of state ${freeze.stateName}: nothing to repeat.`,
        );
      const at = now().toISOString();
      return change('recheck', () =>
        recheckView(register(), register().rechecks.put(null, { freezeId, eventId, stateId: null, by, at, items })),
      );
    },
    recheckState({ id, stateId }) {
      const recheck = recheckOf(id);
      const baseline = register().freezes.get(recheck.freezeId);
      if (stateId === baseline.stateId)
        throw new Refused(
          `State ${baseline.stateName} is the frozen baseline itself: make a state for the build after the event.`,
        );
      if (stateId !== null && register().states.get(stateId) === null)
        throw new Refused(`There is no state ${stateId} in this register.`);
      return changeRecheck(id, ({ id: _id, ...kept }) => ({ ...kept, stateId }));
    },
    recheckItem({ id, baselineCaptureId, repeatedBy, droppedBecause }) {
      if (repeatedBy.includes(baselineCaptureId)) throw new Refused('A capture cannot repeat itself.');
      for (const captureId of repeatedBy) register().captures.get(captureId);
      return changeRecheck(id, ({ id: _id, ...kept }) => ({
        ...kept,
        items: kept.items.map((item) =>
          item.baselineCaptureId === baselineCaptureId ? { ...item, repeatedBy, droppedBecause } : item,
        ),
      }));
    },
    async recheckRun({ id, jobId }) {
      const captures = register().captures.list();
      const recheck = withRepeats(recheckOf(id), captures);
      const wanted = new Set(recheck.items.flatMap((item) => [item.baselineCaptureId, ...item.repeatedBy]));
      const triaged = new Map<number, TriagedTrace>();
      const all = captures.filter((capture) => wanted.has(capture.id));
      for (const [i, capture] of all.entries()) {
        const tell = progressOf(jobId, i / all.length, (i + 1) / all.length);
        const kept = freshTriage(parts, capture) ?? (await runTriage(parts, capture, jobId, tell));
        triaged.set(capture.id, triagedTrace(parts, capture, kept));
      }
      return judgeRecheck({
        recheck,
        states: register().states.list(),
        baselineStateId: register().freezes.get(recheck.freezeId).stateId,
        triaged,
        sources: sourcesOf(parts),
        bands: register().bands.list(),
        decisions: register().decisions.list(),
      });
    },

    reviewNoteList: () => Promise.resolve(register().reviewNotes.list()),
    reviewNotePut({ id, ...said }) {
      const { reviewNotes } = register();
      const old = id === null ? null : reviewNotes.get(id);
      const kept = { at: old?.at ?? now().toISOString(), closedAt: old?.closedAt ?? null, answer: old?.answer ?? '' };
      return change('review_note', () => reviewNotes.put(id, { ...said, ...kept }));
    },
    reviewNoteClose({ id, answer }) {
      const { reviewNotes } = register();
      const note = reviewNotes.get(id);
      if (note === null) throw new Refused(`There is no review note ${id} in this register.`);
      if (note.kind === 'decision') throw new Refused('A decision is not closed; take another one.');
      const { id: _id, ...rest } = note satisfies ReviewNote;
      return change('review_note', () => reviewNotes.put(id, { ...rest, closedAt: now().toISOString(), answer }));
    },
  };
}

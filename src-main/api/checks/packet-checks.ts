import * as v from 'valibot';
import { dateTime, id, jobId, name, none, path, text } from './common.ts';

/** A key file is a few hundred bytes; a text of kilobytes is another file. */
const key = v.nullable(v.strictObject({ file: path, pem: text(20_000) }));
const names = v.pipe(v.array(name), v.maxLength(50));

export const PACKET_CHECKS = {
  freezeList: none,
  freezeOffer: v.strictObject({ stateId: id }),
  freezePut: v.strictObject({ stateId: id, note: text(), by: name }),
  freezeReopen: v.strictObject({ freezeId: id, by: name, reason: name }),
  packetWrite: v.strictObject({ freezeId: v.nullable(id), folder: path, key, jobId }),
  packetVerify: v.strictObject({ folder: path, publicKey: key, jobId }),
  recheckList: none,
  recheckOpen: v.strictObject({ freezeId: id, eventId: id, by: name }),
  recheckState: v.strictObject({ id, stateId: v.nullable(id) }),
  recheckItem: v.strictObject({
    id,
    baselineCaptureId: id,
    repeatedBy: v.pipe(v.array(id), v.maxLength(1000)),
    droppedBecause: v.nullable(name),
  }),
  recheckRun: v.strictObject({ id, jobId }),
  reviewNoteList: none,
  reviewNotePut: v.strictObject({
    id: v.nullable(id),
    freezeId: v.nullable(id),
    kind: v.picklist(['decision', 'question', 'action']),
    subject: v.strictObject({ kind: v.picklist(['requirement', 'spur', 'whole']), key: text(200) }),
    text: v.pipe(text(), v.regex(/\S/, 'expected some text')),
    by: names,
    owner: text(200),
    dueOn: v.nullable(dateTime),
  }),
  reviewNoteClose: v.strictObject({ id, answer: text() }),
};

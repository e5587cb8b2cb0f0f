import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { RunningApi } from '../../../src-main/api/create-api.ts';
import type { CaptureSummary } from '../../../src-main/api/contract.ts';
import { startApi } from '../running-api.ts';

const WREN = join(import.meta.dirname, '..', '..', '..', 'sample-captures', 'wren');
const FILE = 's5-choke-out-again.csv';

/** The capture's text with some points raised: what the same sweep would show if only these had changed. */
function raised(text: string, name: string, points: readonly number[], byDb: number): Uint8Array {
  const lines = text.split('\n');
  const first = lines.findIndex((line) => /^\d[\d.e+]*,-?\d/.test(line));
  for (const point of points) {
    const [hz, level] = lines[first + point]!.trim().split(',') as [string, string];
    lines[first + point] = `${hz},${(Number(level) + byDb).toFixed(2)}`;
  }
  return Buffer.from(lines.join('\n').replace(/^/, `# ${name}\n`));
}

async function takeIn(api: RunningApi, file: string, bytes: Uint8Array, like: CaptureSummary, stateId: number) {
  const { capture } = await api.captureAdd({ file, bytes, jobId: 'in' });
  const { file: _file, ...condition } = like.condition;
  await api.captureAssign({ captureIds: [capture.id], stateId, pointId: like.pointId, condition });
  return capture.id;
}

test(
  'baseline, packet, vibration, re-check and second packet, played on the demonstration',
  { timeout: 180_000 },
  async (context) => {
    if (!existsSync(WREN)) return context.skip('no sample captures in this checkout');
    const { api, folder } = startApi();
    await api.registerOpenDemo({});
    const states = await api.stateList({});
    const s5 = states.find(({ name }) => name === 'S5')!;
    const baseline = (await api.captureList({})).find(({ file }) => file === FILE)!;

    const requirements = await api.requirementList({});
    const { verdicts } = await api.judgeRun({ stateId: s5.id, jobId: 'judge' });
    expect(verdicts.length).toBeGreaterThan(0);

    // frozen: what belongs to it is read-only, by any way
    expect(await api.freezeOffer({ stateId: s5.id })).toMatchObject({
      captures: 10,
      differs: [],
      refusedBecause: null,
    });
    const first = await api.freezePut({ stateId: s5.id, note: 'for the review', by: 'A. Lead' });
    expect(first).toMatchObject({ revision: 1, stateName: 'S5', differs: [] });
    const refusal = /frozen revision/;
    await expect(api.captureRemove({ captureIds: [baseline.id] })).rejects.toThrow(refusal);
    await expect(api.captureAssign({ captureIds: [baseline.id], condition: { temperatureC: 40 } })).rejects.toThrow(
      refusal,
    );
    await expect(api.statePut({ ...s5, description: 'other' })).rejects.toThrow(refusal);
    await expect(api.sourceRemove({ designator: 'HOST-28V' })).rejects.toThrow(refusal);
    await expect(api.requirementRemove({ id: requirements[0]!.id })).rejects.toThrow(refusal);
    const note = {
      id: null,
      captureId: baseline.id,
      frequencyHz: 3e6,
      kind: 'note',
      source: null,
      harmonic: null,
      note: '',
      by: '',
    } as const;
    await expect(api.decisionPut(note)).rejects.toThrow('say it in the review');
    await expect(api.freezePut({ stateId: s5.id, note: '', by: 'A. Lead' })).rejects.toThrow(
      'nothing has changed since',
    );

    const packet = await api.packetWrite({ freezeId: first.id, folder: 'packet one', key: null, jobId: 'write' });
    expect(packet).toMatchObject({ folder: join(folder, 'packet one'), revision: 1, signed: false });
    // the verdicts in the packet are those the page shows
    const judged = JSON.parse(readFileSync(join(packet.folder, 'results', 'judgement.json'), 'utf8')) as {
      verdicts: unknown[];
    };
    expect(judged.verdicts).toEqual(JSON.parse(JSON.stringify(verdicts)));
    expect(readFileSync(join(packet.folder, 'packet.html'), 'utf8')).toContain(requirements[0]!.code);
    await expect(api.packetWrite({ freezeId: first.id, folder: 'packet one', key: null, jobId: 'w' })).rejects.toThrow(
      'something of that name',
    );
    // a packet that was handed out keeps its freeze from being undone
    await expect(api.undo({})).rejects.toThrow(/stays on record|packet/);

    const event = await api.eventPut({
      id: null,
      kind: 'vibration',
      description: 'three axes',
      at: '2026-03-25T09:00:00Z',
      afterStateId: s5.id,
    });
    const { recheck } = await api.recheckOpen({ freezeId: first.id, eventId: event.id, by: 'A. Lead' });
    await expect(api.recheckState({ id: recheck.id, stateId: s5.id })).rejects.toThrow('baseline itself');
    const swapped = s5.configuration.map((item) => (item.serial === 'PSU-02' ? { ...item, serial: 'PSU-07' } : item));
    const s6 = await api.statePut({
      id: null,
      name: 'S6',
      description: 'after vibration',
      parentId: s5.id,
      at: '2026-03-26T09:00:00Z',
      configuration: swapped,
    });
    const waiting = await api.recheckState({ id: recheck.id, stateId: s6.id });
    expect(waiting.rows).toMatchObject([{ file: FILE, repeats: [] }]);
    const empty = await api.recheckRun({ id: recheck.id, jobId: 'r' });
    expect(empty).toMatchObject({
      verdict: 'not shown',
      waiting: [baseline.id],
      swapped: [{ item: 'power board', frozen: 'PSU-02, A', found: 'PSU-07, A' }],
    });
    expect(empty.counts.untested).toBe(empty.lines.length);
    expect(empty.lines.length).toBeGreaterThan(100);

    // a repeat in which nothing changed: every line is held, and the exchanged board has its evidence again
    const text = readFileSync(join(WREN, 'captures', FILE), 'utf8');
    const same = await takeIn(api, 'same.csv', raised(text, 'repeat', [], 0), baseline, s6.id);
    expect((await api.recheckList({}))[0]!.rows[0]!.repeats).toMatchObject([{ captureId: same, differences: [] }]);
    const held = await api.recheckRun({ id: recheck.id, jobId: 'r' });
    expect(held).toMatchObject({
      verdict: 'holds',
      waiting: [],
      counts: { stronger: 0, new: 0, untested: 0, drift: 0 },
    });
    expect(held.reasons[0]).toMatch(/^All \d+ lines were tested/);

    // a repeat with one line 12 dB up and one that was not there
    const spurs = (await api.triageGet({ captureId: baseline.id }))!.spurs;
    const strong = spurs.find(
      ({ overFloorDb, shape, crowded, frequencyHz }) =>
        overFloorDb > 20 && shape === 'line' && !crowded && frequencyHz > 3e6,
    )!;
    const line = Array.from({ length: strong.lastIndex - strong.firstIndex + 1 }, (_, i) => strong.firstIndex + i);
    const worse = await takeIn(api, 'worse.csv', raised(text, 'worse', line, 12), baseline, s6.id);
    await api.recheckItem({
      id: recheck.id,
      baselineCaptureId: baseline.id,
      repeatedBy: [worse],
      droppedBecause: null,
    });
    const fallen = await api.recheckRun({ id: recheck.id, jobId: 'r' });
    expect(fallen.verdict).toBe('falls short');
    expect(
      fallen.lines
        .filter(({ finding }) => finding === 'stronger')
        .map(({ frequencyHz }) => Math.round(frequencyHz / 1e4)),
    ).toEqual([Math.round(strong.frequencyHz / 1e4)]);

    // other settings than the frozen ones are named, and are no pass
    await api.captureAssign({ captureIds: [same], condition: { rbwHz: 10_000 } });
    await api.recheckItem({ id: recheck.id, baselineCaptureId: baseline.id, repeatedBy: [same], droppedBecause: null });
    const other = await api.recheckRun({ id: recheck.id, jobId: 'r' });
    expect(other.verdict).not.toBe('holds');
    expect(other.reasons.join()).toContain('RBW is 10 kHz, frozen 3 kHz');
    await api.captureAssign({ captureIds: [same], condition: { rbwHz: null } });

    await expect(
      api.reviewNotePut({
        id: null,
        freezeId: first.id,
        kind: 'decision',
        subject: { kind: 'whole', key: '' },
        text: 'go on',
        by: [],
        owner: '',
        dueOn: null,
      }),
    ).rejects.toThrow('without a name');
    const action = await api.reviewNotePut({
      id: null,
      freezeId: first.id,
      kind: 'action',
      subject: { kind: 'spur', key: String(strong.frequencyHz) },
      text: 'look at the strap',
      by: ['A. Lead', 'B. Bench'],
      owner: 'B. Bench',
      dueOn: '2026-04-01',
    });
    expect(await api.reviewNoteClose({ id: action.id, answer: 'strap was loose' })).toMatchObject({
      answer: 'strap was loose',
    });

    const second = await api.freezePut({ stateId: s6.id, note: 'after vibration', by: 'A. Lead' });
    expect(second.revision).toBe(2);
    expect(second.differs).toEqual(
      expect.arrayContaining([
        'state S6: added',
        'event vibration of 2026-03-25: added',
        'capture same.csv: added',
        'capture worse.csv: added',
        're-check of 2026-03-01: added',
      ]),
    );
    const two = await api.packetWrite({ freezeId: second.id, folder: 'packet two', key: null, jobId: 'write' });
    expect(await api.packetVerify({ folder: 'packet two', publicKey: null, jobId: 'v' })).toMatchObject({
      intact: true,
      reproduces: true,
    });
    expect(readFileSync(join(two.folder, 'packet.html'), 'utf8')).toContain('What differs from revision 1');
    expect(JSON.parse(readFileSync(join(two.folder, 'results', 'rechecks.json'), 'utf8'))).toMatchObject([
      { judgement: { verdict: 'holds' } },
    ]);

    // the first packet comes out the same from a register that has moved on
    const again = await api.packetWrite({ freezeId: first.id, folder: 'packet one again', key: null, jobId: 'write' });
    expect(again.manifestSha256).toBe(packet.manifestSha256);
    const [one] = await api.freezeList({});
    expect(one!.packets.map(({ folder: name }) => name)).toEqual(['packet one', 'packet one again']);
    expect(one!.differsSince).toEqual([
      'event vibration of 2026-03-25: added',
      're-check of 2026-03-01: added',
      'review note “look at the strap”: added',
    ]);
  },
);

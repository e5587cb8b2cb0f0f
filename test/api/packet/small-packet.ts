import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { freezeState } from '../../../src-main/api/packet/freeze-state.ts';
import { packetOf } from '../../../src-main/api/packet/packet-of-register.ts';
import { openCapture } from '../../../src-main/api/steps/open-capture.ts';
import { silentCondition } from '../../../src-main/model/silent-condition.ts';
import { createRegister, type Register } from '../../../src-main/register/register.ts';
import { source } from '../../register/scene-data.ts';
import { comb, smallCapture } from '../small-capture.ts';

export const VERSION = '1.2.3';

export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-packet-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export interface SmallRegister {
  readonly register: Register;
  readonly folder: string;
  readonly now: () => Date;
  readonly stateIds: readonly [number, number];
}

/** A register with two states, three captures and one source; its clock goes a second at every look. */
export function smallRegister({ name = 'first.csv', title = 'small build' } = {}): SmallRegister {
  const folder = scratchFolder();
  let tick = Date.UTC(2026, 2, 1);
  const now = (): Date => new Date((tick += 1000));
  const register = createRegister(join(folder, 'r.spurledger'), { title, isInvented: true }, { now, who: 'tester' });
  onTestFinished(() => register.close());
  register.sources.put({ ...source('U1'), nominalHz: 131_000 }, null);
  const point = register.points.put(null, {
    name: 'port',
    kind: 'receiver-port',
    where: '',
    coupling: '',
    conductors: '',
    orientation: '',
    heightM: null,
    bonding: '',
    notes: '',
  });
  const state = (stateName: string, parentId: number | null) =>
    register.states.put(null, {
      name: stateName,
      description: '',
      parentId,
      at: '2026-02-01T00:00:00Z',
      configuration: [{ item: 'board', serial: 'B-1', revision: 'A', detail: 'firmware 3' }],
    }).id;
  const s0 = state('S0', null);
  const s1 = state('S1', s0);
  const captures: [string, number, number, number][] = [
    [name, s0, 25, 1],
    ['second.csv', s1, 18, 2],
    ['off.csv', s1, 0, 3],
  ];
  for (const [file, stateId, heightDb, seed] of captures) {
    const bytes = smallCapture({ seed, points: 1500, lines: heightDb === 0 ? [] : comb(131_000, heightDb, 1500) });
    const condition = {
      ...silentCondition(file),
      mode: 'sounding',
      role: heightDb === 0 ? ('off' as const) : ('item' as const),
    };
    const { id } = register.captures.add(openCapture(bytes, file), bytes, condition, 0).capture;
    register.captures.assign([id], { stateId, pointId: point.id });
  }
  return { register, folder, now, stateIds: [s0, s1] };
}

/** A packet of such a register in a folder of its own. */
export function smallPacket(of = smallRegister(), key: { file: string; pem: string } | null = null) {
  const { register, folder, now, stateIds } = of;
  if (register.freezes.list().length === 0)
    freezeState(register, { stateId: stateIds[1], note: '', by: 'A. Lead', now: now(), engineVersion: VERSION });
  const out = join(folder, `packet-${register.packets.list().length + 1}`);
  const made = packetOf(register, { freezeId: 'latest', folder: out, key, engineVersion: VERSION, now });
  return { out, made, ...of };
}

import { describe, expect, test } from 'vitest';
import { Notices } from '../../src-renderer/state/notices.svelte.ts';
import { Overlays } from '../../src-renderer/state/overlays.svelte.ts';
import { RegisterStore } from '../../src-renderer/state/register.svelte.ts';
import { FakeClient } from './fake-client.ts';

const VIEW = { lowHz: 2e6, highHz: 3e6, columns: 400 };

async function laid() {
  const client = new FakeClient();
  const register = new RegisterStore(client);
  await register.loadAll();
  const onBench = register.captures[0]!.id;
  return { client, register, onBench, overlays: new Overlays(client, register, new Notices(), () => onBench) };
}
const settle = () => new Promise((done) => setTimeout(done, 20));

describe('Overlays', () => {
  test('a capture laid over is fetched for the view that is shown, and gone when it is taken off', async () => {
    const { overlays, register } = await laid();
    const other = register.captures[1]!.id;
    overlays.want(VIEW);
    overlays.toggle(other);
    await settle();
    const columns = overlays.columns.get(other)!;
    expect(columns.frequencyHz[0]!).toBeGreaterThan(VIEW.lowHz - 1e4);
    expect(columns.frequencyHz.at(-1)!).toBeLessThan(VIEW.highHz + 1e4);
    overlays.toggle(other);
    expect(overlays.captures).toEqual([]);
  });

  test('the capture on the bench is never laid over itself', async () => {
    const { overlays, onBench } = await laid();
    overlays.toggle(onBench);
    expect(overlays.captures).toEqual([]);
  });

  test('together asks for the one on the bench and all that lie over it', async () => {
    const { overlays, register, client, onBench } = await laid();
    const other = register.captures[1]!.id;
    const asked: unknown[] = [];
    const call = client.call.bind(client);
    client.call = (name, argument) => {
      if (name === 'overlayColumns') asked.push(argument);
      return call(name, argument);
    };
    overlays.want(VIEW);
    overlays.toggle(other);
    overlays.draw('mean');
    await settle();
    expect(asked).toEqual([{ captureIds: [onBench, other], combine: 'mean', ...VIEW }]);
    expect(overlays.combined).not.toBeNull();
    overlays.clear();
    expect([overlays.combined, overlays.together, overlays.ids]).toEqual([null, null, []]);
  });

  test('the capture before is of the same point and role in the nearest state this one came from', async () => {
    const { overlays, register, onBench } = await laid();
    const [first, second, third] = register.captures;
    const state = (id: number, parentId: number | null) => ({ ...register.states[0]!, id, parentId });
    register.states = [state(1, null), state(2, 1), state(3, 2)];
    const at = (capture: typeof first, stateId: number, pointId: number | null) => ({ ...capture!, stateId, pointId });
    register.captures = [at(first, 3, 1), at(second, 1, 1), at(third, 2, 2)];
    expect(overlays.earlier()?.id).toBe(second!.id);
    register.captures = [at(first, 3, 9), at(second, 1, 1), at(third, 2, 2)];
    expect(overlays.earlier()).toBeNull();
    expect(register.capture(onBench)?.stateId).toBe(3);
  });
});

/** Changes a register without end and says each change once it was acknowledged. The parent kills it at a random moment. */
import { createRegister, openRegister } from '../../src-main/register/register.ts';
import { existsSync } from 'node:fs';
import { capture, condition, source } from './scene-data.ts';

const path = process.argv[2]!;
const options = { now: () => new Date(), who: 'child' };
const register = existsSync(path)
  ? openRegister(path, options)
  : createRegister(path, { title: 'k', isInvented: false }, options);
const start = Number(process.argv[3]);
for (let i = start; ; i++) {
  register.sources.put(source(`U${i}`, { nominalHz: 1000 + i }), null);
  process.stdout.write(`source U${i}\n`);
  const { capture: made, bytes } = capture(`c${i}.csv`, i);
  const { capture: kept } = register.captures.add(made, bytes, condition(made.file), 0);
  process.stdout.write(`capture ${kept.sha256}\n`);
  register.sources.put(source(`U${i}`, { nominalHz: 2000 + i }), `U${i}`);
  process.stdout.write(`edit U${i}\n`);
}

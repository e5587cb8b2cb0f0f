/** Takes twenty captures in and adds twenty sources, as fast as it can, beside another program that does the same. */
import { openRegister } from '../../src-main/register/register.ts';
import { capture, condition, source } from './scene-data.ts';

const [path, name] = [process.argv[2]!, process.argv[3]!];
const register = openRegister(path, { now: () => new Date(), who: name });
for (let i = 0; i < 20; i++) {
  const { capture: made, bytes } = capture(`c${i}.csv`, i, 2_000);
  register.captures.add(made, bytes, condition(made.file), 0);
  register.sources.put(source(`${name}-${i}`), null);
}
register.close();

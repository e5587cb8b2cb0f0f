/** Makes one register after the other and says each once it is made. The parent kills it at a random moment. */
import { writeSync } from 'node:fs';
import { join } from 'node:path';
import { createRegister } from '../../src-main/register/register.ts';

const [folder, run] = [process.argv[2]!, process.argv[3]!];
for (let i = 0; ; i++) {
  const name = `r${run}-${i}.spurledger`;
  createRegister(
    join(folder, name),
    { title: name, isInvented: false },
    { now: () => new Date(), who: 'child' },
  ).close();
  writeSync(1, `${name}\n`);
}

import type { Register } from '../../register/register.ts';

/** A table that is handed out, named after the register: `wren-sources.csv`. */
export function tableFile(register: Register, what: string, text: string): { file: string; text: string } {
  const title = register
    .facts()
    .title.replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
  return { file: `${title === '' ? 'register' : title}-${what}.csv`, text };
}

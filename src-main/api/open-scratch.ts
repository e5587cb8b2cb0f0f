import { existsSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { RegisterError } from '../register/register-error.ts';
import { createRegister, openRegister, type Register, type RegisterOptions } from '../register/register.ts';
import { REGISTER_EXTENSION } from './folder-list.ts';

const FILE_IS_BAD = ['damaged', 'not-a-register', 'newer-version'];

/** Where the register lies that is open while the user has chosen none. */
export function scratchPath(dataFolder: string): string {
  return join(dataFolder, `scratch${REGISTER_EXTENSION}`);
}

/**
 * Opens the scratch register, or makes one. It must never keep the program from starting: a file that cannot be a register is put
 * aside (never thrown away); where it cannot be had for another reason (locked, read-only) a fresh one is made beside it.
 */
export function openScratch(dataFolder: string, options: RegisterOptions): Register {
  const path = scratchPath(dataFolder);
  if (!existsSync(path)) return makeScratch(path, options);
  try {
    return openRegister(path, options);
  } catch (error) {
    const stamp = options.now().getTime();
    const beside = (word: string) => join(dataFolder, `scratch-${word}${stamp}${REGISTER_EXTENSION}`);
    if (!(error instanceof RegisterError) || !FILE_IS_BAD.includes(error.code)) return makeScratch(beside(''), options);
    renameSync(path, beside('damaged-'));
    return makeScratch(path, options);
  }
}

function makeScratch(path: string, options: RegisterOptions): Register {
  return createRegister(path, { title: 'Scratch', isInvented: false }, options);
}

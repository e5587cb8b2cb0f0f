import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { createRegister, openRegister, type Register, type RegisterOptions } from '../../src-main/register/register.ts';
import { RegisterError } from '../../src-main/register/register-error.ts';
import { capture, condition } from './scene-data.ts';

let second = 0;
/** A clock that goes on by one second a look. */
export const options: RegisterOptions = { now: () => new Date(Date.UTC(2026, 0, 1, 0, 0, second++)), who: 'tester' };

export function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'register-'));
  onTestFinished(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

export function freshRegister(path = join(folder(), 'build.spurledger')): Register {
  const register = createRegister(path, { title: 'Build', isInvented: false }, options);
  onTestFinished(() => register.close());
  return register;
}

export function reopen(register: Register): Register {
  const again = openRegister(register.path, options);
  onTestFinished(() => again.close());
  return again;
}

export { aDecision, aPoint, aState, capture, condition, source } from './scene-data.ts';

export function take(register: Register, file: string, seed = 0) {
  const { capture: made, bytes } = capture(file, seed);
  return register.captures.add(made, bytes, condition(file), 0);
}

/** The refusal that an act ends in; an act that goes through fails the test. */
export function refusalOf(act: () => unknown): RegisterError {
  try {
    act();
  } catch (error) {
    if (error instanceof RegisterError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

export const codeOf = (act: () => unknown): string => refusalOf(act).code;

import { translateError } from './register-error.ts';

/** Wraps an object's methods so that errors of the database and the disk come out in our words, naming the file. */
export function guarded<T extends object>(target: T, file: string): T {
  return new Proxy(target, {
    get(object, name): unknown {
      const value = Reflect.get(object, name) as unknown;
      if (typeof value !== 'function') return value;
      return (...args: unknown[]): unknown =>
        inOurWords(file, () => (value as (...a: unknown[]) => unknown).apply(object, args));
    },
  });
}

/** Runs an act, its errors turned into ours. */
export function inOurWords<T>(file: string, act: () => T): T {
  try {
    return act();
  } catch (error) {
    throw translateError(error, file);
  }
}

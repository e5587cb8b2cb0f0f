// npm ends the shell between us and passes nothing on: a program that npm started would outlive it.
const LOOK_MS = 1000;

/** Calls back once the process that started this one is gone. Windows does not tell. */
export function whenOrphaned(callback) {
  const parent = process.ppid;
  const look = setInterval(() => {
    if (process.ppid === parent) return;
    clearInterval(look);
    callback();
  }, LOOK_MS);
  look.unref();
}

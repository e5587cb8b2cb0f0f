import { closeSync, existsSync, fsyncSync, linkSync, openSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { APPLICATION_ID, migrate } from './migrate.ts';
import { RegisterError } from './register-error.ts';

/**
 * Makes the file of a new register: complete under another name first, so that a crash leaves no half-made register.
 *
 * @throws RegisterError `exists`, and what the database and the disk throw
 */
export function createRegisterFile(
  path: string,
  about: { readonly title: string; readonly isInvented: boolean },
  now: Date,
): void {
  if (existsSync(path)) throw exists(path);
  const draft = join(dirname(path), `.${basename(path)}.${process.pid}.new`);
  closeSync(openSync(draft, 'w')); // says plainly what is wrong with the folder
  try {
    const db = new SqliteDatabase(draft);
    try {
      db.pragma('synchronous = FULL');
      db.transaction(() => {
        db.pragma(`application_id = ${APPLICATION_ID}`);
        migrate(db);
        const insert = db.prepare('INSERT INTO about (key, value) VALUES (?, ?)');
        insert.run('invented', about.isInvented ? 'yes' : 'no');
        insert.run('made_at', now.toISOString());
        db.prepare("INSERT INTO settings (name, revision, body) VALUES ('title', 1, ?)").run(
          JSON.stringify(about.title),
        );
      })();
    } finally {
      db.close();
    }
    putInPlace(draft, path);
  } finally {
    rmSync(draft, { force: true });
  }
}

/** Gives the draft its name without ever replacing a file. */
function putInPlace(draft: string, path: string): void {
  try {
    linkSync(draft, path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw exists(path);
    // file systems without links, such as those of memory sticks
    if (existsSync(path)) throw exists(path);
    renameSync(draft, path);
  }
  syncFolder(dirname(path));
}

/** Puts the new name on the disk; some systems cannot, and do it by themselves. */
function syncFolder(folder: string): void {
  try {
    const handle = openSync(folder, 'r');
    fsyncSync(handle);
    closeSync(handle);
  } catch {
    return;
  }
}

function exists(path: string): RegisterError {
  return new RegisterError('exists', {
    file: basename(path),
    place: dirname(path),
    found: 'a file of this name',
    expected: 'a new name',
    wayOut: 'Choose another name, or open the register that is there.',
  });
}

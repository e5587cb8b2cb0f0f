import { homedir, userInfo } from 'node:os';
import { existsSync } from 'node:fs';
import { join } from 'node:path';

/** Where the program keeps its own things: scratch register, recent list. SPURLEDGER_DATA overrides. */
export function dataFolder(): string {
  const named = process.env['SPURLEDGER_DATA'];
  if (named !== undefined && named !== '') return named;
  const home = homedir();
  if (process.platform === 'win32')
    return join(process.env['APPDATA'] ?? join(home, 'AppData', 'Roaming'), 'Spurledger');
  if (process.platform === 'darwin') return join(home, 'Library', 'Application Support', 'Spurledger');
  return join(process.env['XDG_DATA_HOME'] ?? join(home, '.local', 'share'), 'spurledger');
}

/** Where new registers are offered: SPURLEDGER_DOCUMENTS, the user's documents, else the home folder. */
export function documentsFolder(): string {
  const named = process.env['SPURLEDGER_DOCUMENTS'];
  if (named !== undefined && named !== '') return named;
  const documents = join(homedir(), 'Documents');
  return existsSync(documents) ? documents : homedir();
}

/** Who the history names. */
export function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return 'unknown'; // a user without an entry on this machine
  }
}

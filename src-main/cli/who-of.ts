import { userInfo } from 'node:os';

/** The user's name for the history; some systems have none. */
export function whoOf(): string {
  try {
    return userInfo().username;
  } catch {
    return 'unknown';
  }
}

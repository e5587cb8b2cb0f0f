import * as v from 'valibot';
import { none, path, text } from './common.ts';

/** Far more than a page has to say of itself. */
const kept = text(20_000);

export const SHELL_CHECKS = {
  pageKept: none,
  pageKeep: v.strictObject({ look: v.exactOptional(kept), place: v.exactOptional(kept) }),
  registerKey: v.strictObject({ path }),
};

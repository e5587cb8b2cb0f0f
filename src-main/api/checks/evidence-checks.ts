import * as v from 'valibot';
import { id, jobId, none } from './common.ts';

export const EVIDENCE_CHECKS = {
  evidenceRun: v.strictObject({ captureId: id, jobId }),
  evidenceGet: v.strictObject({ captureId: id }),
  driftOffers: none,
};

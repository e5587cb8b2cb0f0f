import { judgeBuild, type JudgedCapture, type JudgeInput } from '../../../src-main/engine/judge-build.ts';
import type { BuildState, ConfigurationItem, Fix } from '../../../src-main/model/build-state.ts';
import type { Disposition } from '../../../src-main/model/disposition.ts';
import type { Judgement } from '../../../src-main/model/judgement.ts';
import type { PointKind } from '../../../src-main/model/measuring-point.ts';
import type { Requirement } from '../../../src-main/model/requirement.ts';
import type { Verdict } from '../../../src-main/model/verdict.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../../src-main/model/verdict-settings.ts';
import { handTriage, type HandCapture } from '../tracking/hand-triage.ts';
import { handBand } from './bands.ts';

export interface HandShot extends HandCapture {
  readonly stateId?: number;
  readonly point?: { readonly name: string; readonly kind: PointKind } | null;
}

export const PORT = { name: 'receiver port', kind: 'receiver-port' as const };

export function shot(captureId: number, { stateId = 1, point = PORT, ...capture }: HandShot): JudgedCapture {
  return { captureId, stateId, point, triaged: handTriage({ file: `${captureId}.csv`, ...capture }) };
}

export function handState(
  id: number,
  parentId: number | null,
  configuration: readonly ConfigurationItem[] = [],
): BuildState {
  return {
    id,
    name: `S${id}`,
    description: '',
    parentId,
    at: `2026-03-${String(id).padStart(2, '0')}T10:00:00Z`,
    configuration,
  };
}

export function handFix(id: number, fromStateId: number, toStateId: number, more: Partial<Fix> = {}): Fix {
  return {
    id,
    fromStateId,
    toStateId,
    change: `fix ${id}`,
    sources: [],
    by: '',
    at: '2026-03-05T09:00:00Z',
    undoneAt: null,
    notes: '',
    ...more,
  };
}

export function handRequirement(more: Partial<Requirement> = {}): Requirement {
  return {
    id: 1,
    code: 'RX-1',
    text: '',
    bands: ['low'],
    demand: { kind: 'strongest-line' },
    limit: null,
    modes: [],
    temperatures: [],
    points: [],
    ...more,
  };
}

export function handDisposition(subject: Disposition['subject'], more: Partial<Disposition> = {}): Disposition {
  return {
    id: 1,
    subject,
    reason: 'far from any channel in use',
    approver: 'the lead',
    at: '2026-03-20T10:00:00Z',
    scope: { serials: [], modes: [], bands: [], points: [], temperature: null },
    fromStateId: null,
    untilStateId: null,
    expiresOn: null,
    ...more,
  };
}

/** Judges state 1 of a build with one band and one requirement, but for what is said. */
export function judged(captures: readonly JudgedCapture[], more: Partial<JudgeInput> = {}): Judgement {
  return judgeBuild({
    stateId: 1,
    states: [handState(1, null)],
    fixes: [],
    events: [],
    captures,
    sources: [],
    bands: [handBand()],
    limits: [],
    requirements: [handRequirement()],
    dispositions: [],
    settings: DEFAULT_VERDICT_SETTINGS,
    today: '2026-04-01',
    ...more,
  });
}

/** The only verdict. */
export function ruled(captures: readonly JudgedCapture[], more: Partial<JudgeInput> = {}): Verdict {
  const { verdicts } = judged(captures, more);
  if (verdicts.length !== 1) throw new Error(`${verdicts.length} verdicts`);
  return verdicts[0]!;
}

import type { Claim, Evidence, EvidenceKind } from '../../model/evidence.ts';
import { formatDecimal, formatLevel, formatSigned, PLUS_MINUS } from '../../units/format.ts';
import type { TerminationPlace } from '../../model/condition.ts';
import type { AttenuationFinding, AttenuationStep } from './attenuation.ts';
import { remainderLimitDb, type LevelFinding } from './level-finding.ts';
import type { WeighedLine } from './sight.ts';

/** The evidence of one kind as data and as a clause that a reviewer can read. Clauses begin small and end without a stop. */

const AMBIENT: Claim = { cause: 'ambient', source: null };
const INSTRUMENT: Claim = { cause: 'instrument', source: null };

function evidence(
  kind: EvidenceKind,
  file: string | null,
  finding: Pick<LevelFinding, 'changeDb' | 'changeSigmaDb' | 'limitDb'>,
  more: Pick<Evidence, 'outcome' | 'sentence'> & Partial<Evidence>,
): Evidence {
  const { changeDb, changeSigmaDb, limitDb } = finding;
  return {
    kind,
    file,
    sources: [],
    supports: [],
    contradicts: [],
    order: null,
    where: null,
    changeDb,
    changeSigmaDb,
    limitDb,
    ...more,
  };
}

const db = (value: number) => `${formatDecimal(value, 1)} dB`;
const change = ({ changeDb, changeSigmaDb }: Pick<LevelFinding, 'changeDb' | 'changeSigmaDb'>) =>
  `${formatSigned(changeDb!, 1)} ${PLUS_MINUS} ${formatDecimal(changeSigmaDb!, 1)} dB`;

/** The sentence of a line that the reference did not show, or could not. */
function unseenWords(finding: LevelFinding, where: string, unit: string): string {
  if (finding.outcome === 'absent')
    return `is not there ${where}, where it would have been seen ${db(finding.atLeastDb!)} weaker`;
  if (finding.outcome === 'not-sensitive')
    return `is not seen ${where}, but a line up to ${formatLevel(finding.limitDb!, unit)} could hide there: that says nothing`;
  if (finding.outcome === 'undecided') return `was compared ${where} without a result: ${finding.why}`;
  return `cannot be compared ${where}: ${finding.why}`;
}

export function offEvidence(
  line: WeighedLine,
  finding: LevelFinding,
  file: string,
  unit: string,
  isAllOff: boolean,
  left: readonly string[],
): Evidence {
  const where = isAllOff ? `with all sources off (${file})` : `with the sources off (${file})`;
  const { outcome, changeDb } = finding;
  const stands = () => formatLevel(line.levelDb + changeDb!, unit);
  if (outcome === 'same' || outcome === 'stronger') {
    if (!isAllOff)
      return evidence('sources-off', file, finding, {
        outcome,
        sentence: `stands unchanged ${where}, but ${left.join(', ')} could still run there: that does not show where it comes from`,
      });
    const ours = remainderLimitDb(line.levelDb, changeDb!, finding.changeSigmaDb!);
    return evidence('sources-off', file, finding, {
      outcome,
      supports: [AMBIENT],
      sentence:
        outcome === 'same'
          ? `stands at ${stands()} ${where}, a change of ${change(finding)}: from outside, and no more than ${formatLevel(ours, unit)} of it could be the item’s`
          : `stands at ${stands()} ${where}, ${db(changeDb!)} stronger than here: from outside, and it varies by itself`,
    });
  }
  if (outcome === 'weaker') {
    const most = changeDb! <= -3;
    return evidence('sources-off', file, finding, {
      outcome,
      contradicts: [AMBIENT],
      sentence: `stands ${db(-changeDb!)} weaker ${where}, at ${stands()}: ${most ? 'most of it is the item’s' : 'part of it is the item’s'}, the rest is there without it`,
    });
  }
  return evidence('sources-off', file, finding, {
    outcome,
    where: isAllOff ? 'with all sources off' : 'with the sources off',
    contradicts: outcome === 'absent' ? [AMBIENT] : [],
    sentence: unseenWords(finding, where, unit),
  });
}

const PLACE_WORDS: Readonly<Record<TerminationPlace | 'unsaid', string>> = {
  analyser: 'with the input terminated at the analyser',
  probe: 'with the cable terminated at the probe’s end',
  unsaid: 'with the input terminated',
};

export function terminatedEvidence(
  line: WeighedLine,
  finding: LevelFinding,
  file: string,
  unit: string,
  place: TerminationPlace | null,
): Evidence {
  const where = `${PLACE_WORDS[place ?? 'unsaid']} (${file})`;
  const { outcome, changeDb } = finding;
  if (outcome === 'same' || outcome === 'stronger') {
    const conclusion = {
      analyser: 'a residual line of the analyser itself',
      probe: 'made in the analyser, or picked up by cable and probe',
      unsaid: 'of the measuring kit, though where the load sat is not said: analyser, cable or probe',
    }[place ?? 'unsaid'];
    return evidence('terminated', file, finding, {
      outcome,
      supports: [INSTRUMENT],
      sentence: `stands at ${formatLevel(line.levelDb + changeDb!, unit)} ${where}, a change of ${change(finding)}: ${conclusion}`,
    });
  }
  if (outcome === 'weaker')
    return evidence('terminated', file, finding, {
      outcome,
      contradicts: [INSTRUMENT],
      sentence: `stands ${db(-changeDb!)} weaker ${where}: the measuring kit has a line there, but most of this one arrives at the input`,
    });
  return evidence('terminated', file, finding, {
    outcome,
    where: PLACE_WORDS[place ?? 'unsaid'],
    contradicts: outcome === 'absent' ? [INSTRUMENT] : [],
    sentence: unseenWords(finding, where, unit),
  });
}

export function attenuatorEvidence(
  finding: AttenuationFinding,
  step: AttenuationStep,
  file: string,
  unit: string,
): Evidence {
  const { outcome, order, changeDb } = finding;
  const levels = step.compensated ? 'levels corrected for it' : 'levels not corrected for it';
  const amount = `${formatDecimal(Math.abs(step.stepDb), 1)} dB ${step.stepDb > 0 ? 'more' : 'less'} attenuation`;
  const did =
    changeDb === null
      ? `is not seen with ${amount} (${file}, ${levels})`
      : `changes by ${change(finding)} with ${amount} (${file}, ${levels})`;
  const common = { outcome, order } as const;
  if (outcome === 'real')
    return evidence('attenuator', file, finding, {
      ...common,
      contradicts: [INSTRUMENT],
      sentence: `${did}, as a line that arrives at the input does`,
    });
  if (outcome === 'residual')
    return evidence('attenuator', file, finding, {
      ...common,
      supports: [INSTRUMENT],
      sentence: `${did}, as a line made in the analyser behind its attenuator does`,
    });
  if (outcome === 'overload')
    return evidence('attenuator', file, finding, {
      ...common,
      supports: [INSTRUMENT],
      sentence: `${did}, as an overload product${order === null ? '' : ` of order ${order}`} does: made in the analyser by too strong an input`,
    });
  if (outcome === 'not-sensitive' || outcome === 'undecided')
    return evidence('attenuator', file, finding, {
      ...common,
      sentence:
        changeDb === null ? `is undecided by ${amount} (${file}): ${finding.why}` : `${did}: undecided, ${finding.why}`,
    });
  return evidence('attenuator', file, finding, {
    ...common,
    sentence: `cannot be compared with ${amount} (${file}, unit ${unit}): ${finding.why}`,
  });
}

/** A capture said to be attenuated by nobody knows how much. */
export function unstatedAttenuator(file: string): Evidence {
  const none = { changeDb: null, changeSigmaDb: null, limitDb: null };
  return evidence('attenuator', file, none, {
    outcome: 'undecided',
    sentence: `is undecided by the attenuator (${file}): by how much the attenuation differs is not stated`,
  });
}

/** A capture with another attenuation of which nobody said, and nothing shows, whether levels are corrected for it. */
export function undecidedAttenuator(file: string, stepDb: number, from: string): Evidence {
  const none = { changeDb: null, changeSigmaDb: null, limitDb: null };
  return evidence('attenuator', file, none, {
    outcome: 'undecided',
    sentence: `is undecided by the attenuation changed by ${formatSigned(stepDb, 1)} dB (${file}): whether levels are corrected for it cannot be told, since ${from}`,
  });
}

export function switchEvidence(
  finding: LevelFinding,
  file: string,
  unit: string,
  switchedOff: readonly string[],
  candidates: readonly string[],
): Evidence {
  const names = listed(switchedOff);
  const where = `with ${names} off (${file})`;
  const { outcome, changeDb } = finding;
  const concerned = candidates.filter((name) => switchedOff.includes(name));
  const claims = concerned.map((source): Claim => ({ cause: 'source', source }));
  const base = { outcome, sources: switchedOff } as const;
  if (outcome === 'same' || outcome === 'stronger')
    return evidence('switch-off', file, finding, {
      ...base,
      contradicts: claims,
      sentence: `stands unchanged ${where} (${change(finding)}): not of ${concerned.length > 0 ? listed(concerned) : names}`,
    });
  if (outcome === 'weaker')
    return evidence('switch-off', file, finding, {
      ...base,
      supports: changeDb! <= -3 ? claims : [],
      sentence: `stands ${db(-changeDb!)} weaker ${where}: ${changeDb! <= -3 ? 'most' : 'the smaller part'} of it went along, the rest is something else`,
    });
  if (outcome === 'absent')
    return evidence('switch-off', file, finding, {
      ...base,
      supports: claims,
      sentence: `comes and goes with ${names} (not there in ${file}, where it would have been seen ${db(finding.atLeastDb!)} weaker)`,
    });
  return evidence('switch-off', file, finding, { ...base, sentence: unseenWords(finding, where, unit) });
}

/** A tooth that was found where its comb has moved to. */
export function movedAlongEvidence(
  kind: 'switch-off' | 'co-drift',
  finding: LevelFinding,
  file: string,
  owner: string,
  ppm: number,
  source: string | null,
): Evidence {
  return evidence(kind, file, finding, {
    outcome: 'moved-along',
    supports: source === null ? [] : [{ cause: 'source', source }],
    sentence: `moved by ${formatSigned(ppm, 0)} ppm along with the comb of ${owner} (${file})`,
  });
}

/** A line that fits no comb and yet moved by the ratio of one, or of several alike. */
export function coDriftEvidence(
  files: readonly string[],
  owners: readonly string[],
  sources: readonly string[],
): Evidence {
  const none = { changeDb: null, changeSigmaDb: null, limitDb: null };
  const whose = owners.length === 1 ? `the comb of ${owners[0]!}` : `the combs of ${listed(owners)} alike`;
  const apart =
    owners.length === 1
      ? 'belongs to it, or to something bound to it'
      : 'belongs to one of them, and drift does not tell which';
  return evidence('co-drift', files[0] ?? null, none, {
    outcome: 'moved-along',
    supports: sources.map((source): Claim => ({ cause: 'source', source })),
    sentence: `moved by the same ratio as ${whose} (${listed(files)}): it ${apart}`,
  });
}

export function loadShiftEvidence(
  file: string,
  owner: string,
  off: readonly string[],
  ppm: number,
  sigma: number,
): Evidence {
  const none = { changeDb: null, changeSigmaDb: null, limitDb: null };
  return evidence('load-shift', file, none, {
    outcome: 'moved-along',
    sources: off,
    sentence: `the comb of ${owner} moved by ${formatSigned(ppm, 0)} ${PLUS_MINUS} ${formatDecimal(sigma, 0)} ppm when ${listed(off)} went off (${file}): it runs freely and feels that load`,
  });
}

export function roleEvidence(role: 'off' | 'terminated', file: string, place: TerminationPlace | null): Evidence {
  const none = { changeDb: null, changeSigmaDb: null, limitDb: null };
  if (role === 'off')
    return evidence('role', file, none, {
      outcome: 'same',
      supports: [AMBIENT],
      sentence:
        'was taken with the sources off: not of the item, but from outside, or of the measuring kit where no terminated capture tells them apart',
    });
  const conclusion = {
    analyser: 'a residual line of the analyser itself',
    probe: 'made in the analyser, or picked up by cable and probe',
    unsaid: 'of the measuring kit: analyser, cable or probe, since where the load sat is not said',
  }[place ?? 'unsaid'];
  return evidence('role', file, none, {
    outcome: 'same',
    supports: [INSTRUMENT],
    sentence: `was taken ${PLACE_WORDS[place ?? 'unsaid']}: ${conclusion}`,
  });
}

export function bandEvidence(hint: string): Evidence {
  const none = { changeDb: null, changeSigmaDb: null, limitDb: null };
  return evidence('band', null, none, { outcome: 'hint', sentence: `it lies in ${hint}: a hint, no proof` });
}

export function listed(names: readonly string[]): string {
  if (names.length <= 1) return names[0] ?? '';
  if (names.length > 4) return `${names.slice(0, 3).join(', ')} and ${names.length - 3} more`;
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1)!}`;
}

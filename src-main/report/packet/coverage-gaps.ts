import type { PacketCapture } from '../../model/packet.ts';
import { formatFrequency } from '../../units/format.ts';
import { finalState, type PacketFacts } from './packet-facts.ts';

/**
 * What this packet does not show, one sentence each, the gravest first: it stands on the first page. Nothing here is a pass.
 */
export function coverageGaps(facts: PacketFacts): string[] {
  return [
    ...aboutFreeze(facts),
    ...aboutRequirements(facts),
    ...aboutStates(facts),
    ...aboutBands(facts),
    ...aboutSources(facts),
    ...aboutPoints(facts),
    ...aboutCaptures(facts),
    ...aboutCalibration(facts),
    ...aboutRechecks(facts),
    ...aboutDates(facts),
    ...facts.contents.leftOut,
  ];
}

function aboutFreeze({ contents }: PacketFacts): string[] {
  if (contents.freeze === null)
    return ['This is a draft: no state is frozen, and the register may have changed since this was written.'];
  return contents.freeze.reopened === null
    ? []
    : [
        `Revision ${contents.freeze.revision} was taken up again by ${contents.freeze.reopened.by}: ${contents.freeze.reopened.reason}`,
      ];
}

function aboutRequirements({ contents, judgement }: PacketFacts): string[] {
  if (contents.requirements.length === 0)
    return ['No requirement is registered: nothing is required yet, so nothing is claimed to hold.'];
  if (judgement === null) return ['There is no build state, so no requirement was judged.'];
  const open = judgement.verdicts.filter(({ ruling }) => ruling === 'not shown');
  const cells = judgement.coverage.gaps;
  return [
    ...reasonsOf(open.map(({ code, reason }) => ({ code, reason: reason ?? 'no reason given' }))),
    ...(cells > 0
      ? [
          `${cells} required ${cells === 1 ? 'combination' : 'combinations'} of mode, temperature, band and point ${cells === 1 ? 'is' : 'are'} not wholly covered by any capture.`,
        ]
      : []),
    ...(judgement.verdicts.some(({ isLimitConfirmed }) => !isLimitConfirmed)
      ? ['A limit that was used is not confirmed: check it against your edition.']
      : []),
  ];
}

function reasonsOf(open: readonly { code: string; reason: string }[]): string[] {
  const byReason = new Map<string, Set<string>>();
  for (const { code, reason } of open) byReason.set(reason, (byReason.get(reason) ?? new Set()).add(code));
  return [...byReason].map(([reason, codes]) => `Not shown, ${reason}: ${[...codes].join(', ')}.`);
}

function itemCaptures({ contents }: PacketFacts): PacketCapture[] {
  return contents.captures.filter(({ condition }) => condition.role === 'item');
}

function aboutStates(facts: PacketFacts): string[] {
  const { states, captures } = facts.contents;
  const items = itemCaptures(facts);
  const final = finalState(facts.contents);
  const without = states.filter(({ id }) => !items.some(({ stateId }) => stateId === id));
  const homeless = captures.filter(({ stateId }) => stateId === null);
  const items2 =
    final === null
      ? []
      : final.configuration.filter(({ serial, revision, detail }) => serial === '' && revision === '' && detail === '');
  return [
    ...(captures.length === 0 ? ['There is no capture at all.'] : []),
    ...(states.length === 0 ? ['There is no build state: nobody said which build the captures are of.'] : []),
    ...(without.length > 0 ? [`No capture of the item: ${without.map(({ name }) => name).join(', ')}.`] : []),
    ...(homeless.length > 0
      ? [
          `${homeless.length} ${homeless.length === 1 ? 'capture belongs' : 'captures belong'} to no build state: ${some(homeless.map(({ file }) => file))}.`,
        ]
      : []),
    ...(final !== null && final.configuration.length === 0
      ? [`State ${final.name} has no configuration: no serial stands behind its captures.`]
      : []),
    ...(items2.length > 0
      ? [`No serial, revision or detail is stated for ${items2.map(({ item }) => item).join(', ')}.`]
      : []),
  ];
}

function aboutBands(facts: PacketFacts): string[] {
  const { bands, states } = facts.contents;
  if (bands.length === 0) return ['No protected band is registered.'];
  const final = finalState(facts.contents);
  const items = facts.captures.filter(
    ({ capture }) => capture.condition.role === 'item' && (states.length === 0 || capture.stateId === final?.id),
  );
  const open = bands.flatMap((band) => {
    const parts = uncovered(
      band,
      items.map(({ columns }) => columns),
    );
    return parts.length === 0
      ? []
      : [
          `${band.name} (${parts.map(([low, high]) => `${formatFrequency(low)} to ${formatFrequency(high)}`).join(', ')})`,
        ];
  });
  return open.length === 0
    ? []
    : [`No capture of ${final === null ? 'the build' : `state ${final.name}`} covers ${open.join('; ')}.`];
}

/** Parts of a band that none of the spans reaches. */
function uncovered(
  band: { readonly lowHz: number; readonly highHz: number },
  spans: readonly { readonly lowHz: number; readonly highHz: number }[],
): [number, number][] {
  const parts: [number, number][] = [];
  let at = band.lowHz;
  for (const { lowHz, highHz } of [...spans].sort((a, b) => a.lowHz - b.lowHz)) {
    if (highHz <= at) continue;
    if (lowHz > at) {
      parts.push([at, Math.min(lowHz, band.highHz)]);
    }
    at = Math.max(at, highHz);
    if (at >= band.highHz) break;
  }
  if (at < band.highHz) parts.push([at, band.highHz]);
  return parts.filter(([low, high]) => low < band.highHz && high > low);
}

function aboutSources(facts: PacketFacts): string[] {
  const { sources, states } = facts.contents;
  if (sources.length === 0) return ['No source is registered, so no line could be given an owner.'];
  const final = finalState(facts.contents);
  const items = itemCaptures(facts).filter(({ stateId }) => states.length === 0 || stateId === final?.id);
  if (items.length === 0) return [];
  const never = sources.filter(
    ({ source }) => !items.some(({ condition }) => condition.sourcesOn?.includes(source.designator) === true),
  );
  return never.length === 0
    ? []
    : [
        `Nobody stated that ${never.map(({ source }) => source.designator).join(', ')} ran in a capture of ${final === null ? 'the build' : `state ${final.name}`}: not exercised, unless a line of it is shown.`,
      ];
}

function aboutPoints({ contents: { points, captures } }: PacketFacts): string[] {
  const unused = points.filter(({ id }) => !captures.some(({ pointId }) => pointId === id));
  return unused.length === 0 ? [] : [`Never measured: ${unused.map(({ name }) => name).join(', ')}.`];
}

function aboutCaptures({ captures }: PacketFacts): string[] {
  const unknown = (what: string, is: (facts: (typeof captures)[number]) => boolean): string[] => {
    const found = captures.filter(is);
    return found.length === 0 ? [] : [`${what}: ${some(found.map(({ capture }) => capture.file))}.`];
  };
  return [
    ...unknown(
      'Reading the original file by itself does not give the kept traces (it was read with other files, settings or another version)',
      ({ followsFromFile }) => !followsFromFile,
    ),
    ...unknown(
      'The unit of the levels is not known, so no absolute limit can be judged',
      ({ unitName }) => unitName === 'unknown',
    ),
    ...unknown(
      'Nobody stated the RBW',
      ({ capture }) => (capture.condition.rbwHz ?? capture.traces[capture.traceIndex]?.settings.rbwHz ?? null) === null,
    ),
    ...unknown(
      'No date of the instrument’s calibration is stated',
      ({ capture }) => (capture.condition.calibratedOn ?? null) === null,
    ),
    ...unknown('The file was read with warnings', ({ capture }) => capture.warnings.length > 0),
  ];
}

/** Tables that were past their day when the packet is dated. */
function aboutCalibration({ contents: { at, captures } }: PacketFacts): string[] {
  const due = captures.flatMap(({ file, tables }) =>
    tables
      .filter(({ dueOn }) => dueOn !== null && dueOn < at.slice(0, 10))
      .map(({ name, dueOn }) => ({ file, name: `${name} (due ${dueOn})` })),
  );
  return due.length === 0 ? [] : [`Calibration past its day: ${some([...new Set(due.map(({ name }) => name))])}.`];
}

function aboutRechecks({ rechecks, contents }: PacketFacts): string[] {
  return rechecks.flatMap(({ recheck, judgement }) => {
    if (judgement.verdict === 'holds') return [];
    const event = contents.events.find(({ id }) => id === recheck.eventId);
    return [
      `The re-check after ${event?.kind ?? 'the event'} ${judgement.verdict === 'falls short' ? 'falls short' : 'is not shown'}: ${judgement.reasons[0] ?? ''}`,
    ];
  });
}

/** A clock that ran backwards leaves evidence that is younger than the date it stands under. */
function aboutDates({ contents: { at, captures } }: PacketFacts): string[] {
  const late = captures.filter(({ addedAt }) => Date.parse(addedAt) > Date.parse(at));
  return late.length === 0
    ? []
    : [`A clock ran backwards: taken in after the date of this packet: ${some(late.map(({ file }) => file))}.`];
}

function some(names: readonly string[]): string {
  return names.length <= 6 ? names.join(', ') : `${names.slice(0, 5).join(', ')} and ${names.length - 5} more`;
}

import { judgeBuild, type JudgedCapture } from '../../engine/judge-build.ts';
import { decisionsOn } from '../../model/decision.ts';
import type { Judgement } from '../../model/judgement.ts';
import { levelMeaning } from '../../model/level-meaning.ts';
import type { PacketCapture, PacketContents } from '../../model/packet.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { finalState } from '../../report/packet/packet-facts.ts';

/** A triaged capture, and the doubt that its calibration chain brings at each point (one standard deviation, dB). */
export interface PacketTriaged extends TriagedTrace {
  readonly chainSigmaDb: Float64Array;
}

/** The verdict on a packet's state, from what the packet carries; acceptances expire by its date. Null without a state. */
export function judgeContents(contents: PacketContents, triaged: ReadonlyMap<number, PacketTriaged>): Judgement | null {
  const state = finalState(contents);
  if (state === null) return null;
  return judgeBuild({
    stateId: state.id,
    states: contents.states,
    fixes: contents.fixes,
    events: contents.events,
    captures: contents.captures.flatMap((capture) => judged(contents, capture, triaged.get(capture.id)!)),
    sources: contents.sources.map(({ source }) => source),
    bands: contents.bands,
    limits: contents.limits,
    requirements: contents.requirements,
    dispositions: contents.dispositions,
    settings: contents.verdictSettings,
    today: contents.at.slice(0, 10),
  });
}

function judged(
  { points, decisions }: PacketContents,
  capture: PacketCapture,
  triaged: PacketTriaged,
): JudgedCapture[] {
  const { id, stateId, pointId, tables, transferVersion } = capture;
  if (stateId === null) return [];
  const point = points.find((one) => one.id === pointId);
  // the transfer to the receiver comes last and is no transducer of its own
  const own = transferVersion === null ? tables : tables.slice(0, -1);
  return [
    {
      captureId: id,
      stateId,
      point: point === undefined ? null : { name: point.name, kind: point.kind },
      triaged,
      meaning: levelMeaning({
        pointKind: point?.kind ?? null,
        unit: triaged.trace.unit,
        isFactored: own.some(({ kind }) => kind === 'transducer' || kind === 'probe'),
        transferVersion,
      }),
      decisions: decisionsOn(id, decisions),
    },
  ];
}

import type { Answer, CallName, EventName, Events } from './contract.ts';

/** What travels between page and host, besides the bytes it is packed in. */
export interface CallMessage {
  readonly kind: 'call';
  readonly id: number;
  readonly name: CallName;
  readonly argument: unknown;
}

export interface AnswerMessage {
  readonly kind: 'answer';
  readonly id: number;
  readonly answer: Answer<unknown>;
}

export interface EventMessage<E extends EventName = EventName> {
  readonly kind: 'event';
  readonly name: E;
  readonly event: Events[E];
}

export type ToHost = CallMessage;
export type ToPage = AnswerMessage | EventMessage;

/** The one channel of the Electron host. */
export const ELECTRON_CHANNEL = 'spurledger';

/** Path of the loopback host's socket. */
export const SOCKET_PATH = '/door';

/** Options of msgpackr on both sides: typed arrays, undefined and NaN survive, and nothing is compiled at run time. */
export const PACKING = { moreTypes: true, useRecords: false } as const;

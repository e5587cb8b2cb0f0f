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

/** A command chosen in a menu outside the page, by its id in model/commands. */
export interface CommandMessage {
  readonly kind: 'command';
  readonly id: string;
}

export type ToHost = CallMessage;
export type ToPage = AnswerMessage | EventMessage | CommandMessage;

/** The one channel of the Electron host. */
export const ELECTRON_CHANNEL = 'spurledger';

/** Where a page says which commands can be used now, so that Electron's menu can grey the others. */
export const ELECTRON_USABLE = 'spurledger-usable';

/** Path of the loopback host's socket. */
export const SOCKET_PATH = '/door';

/** Options of msgpackr on both sides: typed arrays, undefined and NaN survive, and nothing is compiled at run time. */
export const PACKING = { moreTypes: true, useRecords: false } as const;

/** What the address of a window carries: RegisterInfo.key, in the page's address and in that of its socket. */
export const REGISTER_IN_ADDRESS = 'register';

import type { Answer, Api, EventName, Events } from './contract.ts';
import { apiProblemOf } from './api-problem.ts';

/** Calls by name, never rejecting; pushes to whoever listens. Hosts know this and nothing else of the api. */
export interface Door {
  call(name: unknown, argument: unknown): Promise<Answer<unknown>>;
  /** Returns the way to stop listening. */
  listen(listener: EventListener): () => void;
}

/** A door of one window: it is shut when the window is gone. */
export interface WindowDoor extends Door {
  /** Path of the register that the window shows now. */
  register(): string;
  shut(): void;
}

/** Where hosts get a door for each of their windows. */
export interface Doors {
  /** @param registerKey what the window's address carries (RegisterInfo.key); null: the register used last */
  open(registerKey: string | null): WindowDoor;
  /** The key of a register that a window showed at an earlier start; null where it can no longer be opened. */
  keyOf(path: string): string | null;
}

export type EventListener = <E extends EventName>(name: E, event: Events[E]) => void;

/** The pushing end: given to the api as `emit`, and to the door to fan out. */
export class EventHub {
  private readonly listeners = new Set<EventListener>();

  readonly emit = <E extends EventName>(name: E, event: Events[E]): void => {
    for (const listener of this.listeners) listener(name, event);
  };

  listen(listener: EventListener): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }
}

export function openDoor(api: Api, hub: EventHub): Door {
  return {
    async call(name, argument) {
      try {
        // “close” ends the program, and is the hosts' to say
        if (typeof name !== 'string' || !Object.hasOwn(api, name) || name === 'close')
          return refuse(`There is no call “${String(name)}”.`);
        const calls = api as unknown as Record<string, (argument: unknown) => Promise<unknown>>;
        return { ok: true, value: await calls[name]!(argument) };
      } catch (error) {
        return { ok: false, problem: apiProblemOf(error) };
      }
    },
    listen: (listener) => hub.listen(listener),
  };
}

function refuse(message: string): Answer<never> {
  return { ok: false, problem: { kind: 'internal', message, problem: null } };
}

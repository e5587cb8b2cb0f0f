import type { Client } from '../../src-main/api/contract.ts';
import type { ProbePhoto, ProbePin } from '../../src-main/model/probe-photo.ts';
import { ask } from './door.ts';
import type { Notices } from './notices.svelte.ts';

/** Photographs of the build, and the one that is looked at. */
export class Photos {
  list = $state.raw<readonly ProbePhoto[]>([]);
  chosenId = $state<number | null>(null);
  /** Address of the chosen picture for an img element; null while there is none. */
  address = $state<string | null>(null);
  readonly chosen = $derived.by(() => this.list.find(({ id }) => id === this.chosenId) ?? this.list[0] ?? null);
  readonly #client: Client;
  readonly #notices: Notices;
  #shown = '';

  constructor(client: Client, notices: Notices) {
    this.#client = client;
    this.#notices = notices;
  }

  async load(): Promise<void> {
    await this.#notices.attempt(async () => {
      this.list = await ask(this.#client, 'photoList', {});
      await this.#showChosen();
    });
  }

  async choose(id: number): Promise<void> {
    this.chosenId = id;
    await this.#notices.attempt(() => this.#showChosen());
  }

  async add(name: string, bytes: Uint8Array): Promise<void> {
    await this.#notices.attempt(async () => {
      const photo = await ask(this.#client, 'photoAdd', { name, bytes });
      this.chosenId = photo.id;
    });
    await this.load();
  }

  /** Sets the pin of a point, or takes it away with null. */
  async pin(pointId: number, place: { x: number; y: number } | null): Promise<void> {
    const photo = this.chosen;
    if (photo === null) return;
    await this.#put(photo, pinned(photo.pins, pointId, place));
  }

  async remove(): Promise<void> {
    const photo = this.chosen;
    if (photo === null) return;
    await this.#notices.attempt(() => ask(this.#client, 'photoRemove', { id: photo.id }));
    await this.load();
  }

  async #put({ id, name }: ProbePhoto, pins: readonly ProbePin[]): Promise<void> {
    await this.#notices.attempt(async () => {
      const photo = await ask(this.#client, 'photoPut', { id, name, pins });
      this.list = this.list.map((other) => (other.id === id ? photo : other));
    });
  }

  async #showChosen(): Promise<void> {
    const photo = this.chosen;
    if (this.#shown === (photo?.sha256 ?? '')) return;
    if (this.address !== null) URL.revokeObjectURL(this.address);
    this.address = null;
    this.#shown = photo?.sha256 ?? '';
    if (photo === null) return;
    const bytes = await ask(this.#client, 'photoBytes', { id: photo.id });
    this.address = URL.createObjectURL(new Blob([new Uint8Array(bytes)], { type: photo.type }));
  }
}

/** The pins with one set or taken away; a place off the picture is moved to its edge. */
export function pinned(
  pins: readonly ProbePin[],
  pointId: number,
  place: { x: number; y: number } | null,
): readonly ProbePin[] {
  const others = pins.filter((pin) => pin.pointId !== pointId);
  const within = (share: number) => Math.min(1, Math.max(0, share));
  return place === null ? others : [...others, { pointId, x: within(place.x), y: within(place.y) }];
}

import { flushSync } from 'svelte';
import { readFrequenciesIn } from './format.ts';
import type { FrequencyUnit } from './format.ts';

export type Theme = 'system' | 'light' | 'dark';
export type Contrast = 'system' | 'normal' | 'high';
/** Where the page is read: at a desk, or from the back of a room. */
export type Room = 'desk' | 'projector';
export type ReadIn = 'as fits' | FrequencyUnit['name'];

export const READ_IN: readonly ReadIn[] = ['as fits', 'Hz', 'kHz', 'MHz', 'GHz'];
const ROOMS: readonly Room[] = ['desk', 'projector'];
const THEMES: readonly Theme[] = ['system', 'light', 'dark'];
const CONTRASTS: readonly Contrast[] = ['system', 'normal', 'high'];

/** How the page looks and reads: the system's way unless chosen here; the program keeps the choice for all windows. */
export class Look {
  theme = $state<Theme>('system');
  contrast = $state<Contrast>('system');
  room = $state<Room>('desk');
  readIn = $state<ReadIn>('as fits');
  #systemDark = $state(false);
  #systemMore = $state(false);
  /** What is painted on a canvas is painted anew for paper: light lines do not turn to ink by themselves. */
  #isPrinted = $state(false);
  readonly isDark = $derived(!this.#isPrinted && (this.theme === 'system' ? this.#systemDark : this.theme === 'dark'));
  readonly isHigh = $derived(
    this.#isPrinted || (this.contrast === 'system' ? this.#systemMore : this.contrast === 'high'),
  );

  readonly #keep: (look: string) => void;

  /** @param kept what `keep` was given at an earlier time; null: nothing */
  constructor(kept: string | null = null, keep: (look: string) => void = () => undefined) {
    this.#keep = keep;
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const more = matchMedia('(prefers-contrast: more)');
    this.#systemDark = dark.matches;
    this.#systemMore = more.matches;
    dark.addEventListener('change', (event) => (this.#systemDark = event.matches));
    more.addEventListener('change', (event) => (this.#systemMore = event.matches));
    // at once: the browser takes its picture as soon as the listeners have run
    matchMedia('print').addEventListener('change', (event) => flushSync(() => (this.#isPrinted = event.matches)));
    this.#restore(kept ?? '');
  }

  choose(choice: { theme?: Theme; contrast?: Contrast; room?: Room; readIn?: ReadIn }): void {
    Object.assign(this, choice);
    this.#keep([this.theme, this.contrast, this.room, this.readIn].join(' | '));
  }

  /** Prints the page as ink on white, once all of it is painted so. */
  print(): void {
    this.#isPrinted = true;
    requestAnimationFrame(() =>
      requestAnimationFrame(() => {
        print();
        this.#isPrinted = false;
      }),
    );
  }

  /** Puts the choice on the root element; call inside an effect. */
  apply(root: HTMLElement): void {
    root.dataset.theme = this.isDark ? 'dark' : 'light';
    if (this.isHigh) root.dataset.contrast = 'high';
    else delete root.dataset.contrast;
    root.dataset.room = this.room;
    readFrequenciesIn(this.readIn === 'as fits' ? null : this.readIn);
  }

  #restore(text: string): void {
    const kept = text.split(/ \| | (?=\w+$)/);
    this.theme = THEMES.find((theme) => theme === kept[0]) ?? 'system';
    this.contrast = CONTRASTS.find((contrast) => contrast === kept[1]) ?? 'system';
    this.room = ROOMS.find((room) => room === kept[2]) ?? 'desk';
    this.readIn = READ_IN.find((unit) => unit === kept[3]) ?? 'as fits';
  }
}

export type Theme = 'system' | 'light' | 'dark';
export type Contrast = 'system' | 'normal' | 'high';

const KEY = 'look';
const THEMES: readonly Theme[] = ['system', 'light', 'dark'];
const CONTRASTS: readonly Contrast[] = ['system', 'normal', 'high'];

/** Theme and contrast: the system's unless chosen here; the choice is kept in this browser. */
export class Look {
  theme = $state<Theme>('system');
  contrast = $state<Contrast>('system');
  #systemDark = $state(false);
  #systemMore = $state(false);
  readonly isDark = $derived(this.theme === 'system' ? this.#systemDark : this.theme === 'dark');
  readonly isHigh = $derived(this.contrast === 'system' ? this.#systemMore : this.contrast === 'high');

  constructor() {
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const more = matchMedia('(prefers-contrast: more)');
    this.#systemDark = dark.matches;
    this.#systemMore = more.matches;
    dark.addEventListener('change', (event) => (this.#systemDark = event.matches));
    more.addEventListener('change', (event) => (this.#systemMore = event.matches));
    this.#restore();
  }

  nextTheme(): void {
    this.theme = THEMES[(THEMES.indexOf(this.theme) + 1) % THEMES.length]!;
    this.#keep();
  }

  nextContrast(): void {
    this.contrast = CONTRASTS[(CONTRASTS.indexOf(this.contrast) + 1) % CONTRASTS.length]!;
    this.#keep();
  }

  /** Puts the choice on the root element; call inside an effect. */
  apply(root: HTMLElement): void {
    root.dataset.theme = this.isDark ? 'dark' : 'light';
    if (this.isHigh) root.dataset.contrast = 'high';
    else delete root.dataset.contrast;
  }

  #restore(): void {
    const kept = (localStorage.getItem(KEY) ?? '').split(' ');
    this.theme = THEMES.find((t) => t === kept[0]) ?? 'system';
    this.contrast = CONTRASTS.find((c) => c === kept[1]) ?? 'system';
  }

  #keep(): void {
    localStorage.setItem(KEY, `${this.theme} ${this.contrast}`);
  }
}

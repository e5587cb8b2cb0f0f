/** What a page asked to be kept for the next time, as it wrote it; null where nothing was kept. */
export interface PageKept {
  /** How pages look and read: one for all. */
  readonly look: string | null;
  /** Where the page was in this window's register. */
  readonly place: string | null;
}

/** What belongs to a window rather than to a register. */
export interface ShellCalls {
  pageKept(argument: Record<string, never>): Promise<PageKept>;
  /** A part left out stays as it is. */
  pageKeep(argument: Partial<{ readonly look: string; readonly place: string }>): Promise<void>;
  /** Looks that a register can be opened and gives the key with which another window shows it; this window stays where it is. */
  registerKey(argument: { path: string }): Promise<{ readonly key: string }>;
}

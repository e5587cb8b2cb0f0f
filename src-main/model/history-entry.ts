/** One change of the register, appended and never altered. Undo and redo are entries of their own. */
export interface HistoryEntry {
  readonly id: number;
  /** ISO 8601 date-time, UTC. */
  readonly at: string;
  readonly who: string;
  /** What kind of thing: source, capture, state, fix, point, condition, event, decision, settings, register. */
  readonly subject: string;
  readonly subjectKey: string;
  readonly action: 'add' | 'change' | 'remove' | 'undo' | 'redo';
  /** One readable line. */
  readonly summary: string;
  /** JSON of the row before and after; null where there is none. */
  readonly before: string | null;
  readonly after: string | null;
  /** For undo and redo: the entry they concern. */
  readonly concerns: number | null;
  /** True while undo can still take this entry back. */
  readonly undoable: boolean;
}

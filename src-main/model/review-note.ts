/** What a review note speaks of. `key`: a requirement's or source's name, a frequency in hertz as text, '' for the whole. */
export interface ReviewSubject {
  readonly kind: 'requirement' | 'spur' | 'whole';
  readonly key: string;
}

/** Said and kept in a review meeting: a decision with the names of those who took it, a question, or an action with its owner. */
export interface ReviewNote {
  readonly id: number;
  readonly freezeId: number | null;
  readonly kind: 'decision' | 'question' | 'action';
  readonly subject: ReviewSubject;
  readonly text: string;
  /** Who decided, asked or gave the action. */
  readonly by: readonly string[];
  /** Who has the action; '' for the others. */
  readonly owner: string;
  /** ISO 8601 date an action is due; null where none was set. */
  readonly dueOn: string | null;
  /** ISO 8601 date-time, UTC. */
  readonly at: string;
  /** ISO 8601 date-time a question was answered or an action done; null while open. */
  readonly closedAt: string | null;
  /** How it was closed. */
  readonly answer: string;
}

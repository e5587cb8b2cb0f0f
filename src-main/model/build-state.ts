/** One board or part of the build with the identity that evidence hangs on. */
export interface ConfigurationItem {
  /** What it is: board, harness, lid, firmware … in the team's own words. */
  readonly item: string;
  readonly serial: string;
  readonly revision: string;
  /** Anything else that fixes it: lid torque, firmware hash … */
  readonly detail: string;
}

/** The build as it stood at one time; captures belong to a state, fixes lie between states. */
export interface BuildState {
  readonly id: number;
  /** Short name shown everywhere: S0, S1 … or the team's own. */
  readonly name: string;
  readonly description: string;
  /** The state it came from; null for the first. Two states with one parent are branches. */
  readonly parentId: number | null;
  /** ISO 8601 date-time. */
  readonly at: string;
  readonly configuration: readonly ConfigurationItem[];
}

/** What was changed between two states. */
export interface Fix {
  readonly id: number;
  readonly fromStateId: number;
  readonly toStateId: number;
  /** What was changed, in one line. */
  readonly change: string;
  /** Designators of the sources it was meant for; may be empty. */
  readonly sources: readonly string[];
  readonly by: string;
  /** ISO 8601 date-time. */
  readonly at: string;
  /** ISO 8601 date-time it was taken out again, or null. */
  readonly undoneAt: string | null;
  readonly notes: string;
}

/** Something that happened to the build: vibration, thermal vacuum, rework, transport … */
export interface EnvironmentEvent {
  readonly id: number;
  readonly kind: 'vibration' | 'thermal-vacuum' | 'rework' | 'transport' | 'other';
  readonly description: string;
  readonly at: string;
  readonly afterStateId: number | null;
}

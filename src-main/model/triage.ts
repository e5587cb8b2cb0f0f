import type { LineExplanation } from './attribution.ts';
import type { CombBelow } from './comb-below.ts';
import type { Comb, SourceNotSeen } from './comb.ts';
import type { Floor } from './floor.ts';
import type { LineFamily, SpreadEstimate } from './line-family.ts';
import type { Spur } from './spur.ts';
import type { TriageSettings } from './triage-settings.ts';

/** Everything the engine says of one trace. `explanations` is parallel to `spurs`. */
export interface Triage {
  readonly settings: TriageSettings;
  readonly floor: Floor;
  /** Ascending in frequency. */
  readonly spurs: readonly Spur[];
  readonly explanations: readonly LineExplanation[];
  readonly combs: readonly Comb[];
  readonly notSeen: readonly SourceNotSeen[];
  /** Claimed combs first, in their order, then running sources without one. Left out by triages that did not look. */
  readonly below?: readonly CombBelow[];
  /** Lines that belong together without being harmonics. Left out by triages that did not look; so is the next. */
  readonly families?: readonly LineFamily[];
  readonly spreads?: readonly SpreadEstimate[];
  readonly warnings: readonly string[];
}

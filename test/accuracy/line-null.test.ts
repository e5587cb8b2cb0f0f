import { describe, expect, it } from 'vitest';
import { mostClaims } from './run-null.ts';
import { runLineNull } from './run-lines.ts';

describe('the stated chance, over lists of lines that belong to nothing registered', () => {
  it.each(['random lines', 'unregistered combs'] as const)(
    'claims at chance < p in at most the share p of captures of %s (sampling error added), and finds most of what runs',
    (kind) => {
      const rows = runLineNull(kind, 40, 20_000);
      for (const { level, captures, claimed } of rows)
        expect(claimed, `p = ${level}`).toBeLessThanOrEqual(mostClaims(level, captures));
      const [atTenth] = rows;
      expect(atTenth!.powerOf).toBeGreaterThan(3);
      expect(atTenth!.power / atTenth!.powerOf).toBeGreaterThan(0.6);
    },
  );
});

import { expect } from 'vitest';

/** What a field must hold: a name of a plain kind, a list of one shape, an object of fields, or one of fixed words. */
export type Shape =
  | 'number'
  | 'number or null'
  | 'text'
  | 'text or null'
  | 'object'
  | { readonly words: readonly string[] }
  | { readonly listOf: Shape }
  | { readonly fields: Readonly<Record<string, Shape>>; readonly orNull?: boolean };

/** Asserts that a document has every field of a shape, each of its kind. Fields beyond the shape are allowed. */
export function expectShape(value: unknown, shape: Shape, path = 'document'): void {
  if (typeof shape === 'string') {
    const allowsNull = shape.endsWith('or null');
    if (allowsNull && value === null) return;
    const kind = shape === 'object' ? 'object' : shape.startsWith('text') ? 'string' : 'number';
    expect(typeof value, `${path} is ${JSON.stringify(value)}`).toBe(kind);
    if (kind === 'number')
      expect(Number.isFinite(value) && !Object.is(value, -0), `${path} is ${String(value)}`).toBe(true);
    if (kind === 'object') expect(value, path).not.toBeNull();
  } else if ('words' in shape) {
    expect(shape.words, `${path} is ${JSON.stringify(value)}`).toContain(value);
  } else if ('listOf' in shape) {
    expect(Array.isArray(value), `${path} is a list`).toBe(true);
    (value as unknown[]).forEach((item, i) => expectShape(item, shape.listOf, `${path}[${i}]`));
  } else {
    if (shape.orNull === true && value === null) return;
    expect(typeof value === 'object' && value !== null, `${path} is an object`).toBe(true);
    for (const [field, inner] of Object.entries(shape.fields)) {
      expect(Object.hasOwn(value as object, field), `${path}.${field} is there`).toBe(true);
      expectShape((value as Record<string, unknown>)[field], inner, `${path}.${field}`);
    }
  }
}

const CAUSES = [
  'source',
  'ambiguous',
  'shared',
  'unknown-comb',
  'beat',
  'sideband',
  'ambient',
  'instrument',
  'unexplained',
];
const STATUSES = ['cleared', 'weaker', 'persists', 'stronger', 'new', 'back', 'hidden', 'uncovered'];

const SPUR: Record<string, Shape> = {
  frequency_hz: 'number',
  frequency_sigma_hz: 'number',
  level: 'number',
  level_sigma_db: 'number',
  floor: 'number',
  over_floor_db: 'number',
  width_hz: 'number',
  shape: { words: ['line', 'hump'] },
  cause: { words: CAUSES },
  candidates: {
    listOf: { fields: { source: 'text or null', harmonic: 'number', predicted_hz: 'number', chance: 'number' } },
  },
  why: 'text',
};

const PROBLEMS: Shape = {
  listOf: { fields: { file: 'text', place: 'text', found: 'text', expected: 'text', way_out: 'text' } },
};

/** The contract of the headless documents, field by field, as the command page fixes it. */
export const TRIAGE_SHAPE: Shape = {
  fields: {
    schema: { words: ['spurledger.triage/1'] },
    captures: {
      listOf: {
        fields: {
          file: 'text',
          sha256: 'text',
          layout: 'text',
          points: 'number',
          start_hz: 'number',
          stop_hz: 'number',
          rbw_hz: 'number or null',
          unit: 'text',
          averages: 'number or null',
          warnings: { listOf: 'text' },
          settings: 'object',
          false_alarms_expected: 'number or null',
          weakest_detectable_over_floor_db: 'number or null',
          spurs: { listOf: { fields: SPUR } },
          sources_below: {
            listOf: {
              fields: {
                source: 'text or null',
                could_also_be: { listOf: 'text' },
                fundamental_hz: 'number or null',
                fundamental_sigma_hz: 'number or null',
                fundamentals_tried: 'number',
                harmonics_stacked: 'number',
                mean_over_floor_db: 'number or null',
                sigma_db: 'number or null',
                upper_limit_over_floor_db: 'number or null',
                chance: 'number',
                why: 'text',
              },
            },
          },
          families: {
            listOf: {
              fields: {
                kind: { words: ['beat', 'sideband', 'fold'] },
                sources: { listOf: 'text or null' },
                spacing_hz: 'number or null',
                spacing_sigma_hz: 'number or null',
                band: 'text or null',
                spurs: { listOf: 'number' },
                places: 'number',
                chance: 'number',
                why: 'text',
              },
            },
          },
          spreads: {
            listOf: {
              fields: {
                source: 'text',
                stated_ppm: 'number or null',
                estimated_ppm: 'number',
                sigma_ppm: 'number',
                humps: 'number',
              },
            },
          },
          combs: {
            listOf: {
              fields: {
                source: 'text or null',
                fundamental_hz: 'number',
                fundamental_sigma_hz: 'number',
                seen: 'number',
                expected: 'number',
                chance: 'number',
                could_also_be: { listOf: 'text' },
              },
            },
          },
        },
      },
    },
    problems: PROBLEMS,
  },
};

export const COMPARE_SHAPE: Shape = {
  fields: {
    schema: { words: ['spurledger.compare/1'] },
    warnings: { listOf: 'text' },
    tracks: {
      listOf: {
        fields: {
          status: { words: STATUSES },
          before: { fields: SPUR, orNull: true },
          after: { fields: SPUR, orNull: true },
          change_db: 'number or null',
          change_sigma_db: 'number or null',
          at_least_db: 'number or null',
          shift_hz: 'number or null',
          upper_limit: 'number or null',
          exercised: { words: ['shown', 'stated', 'unknown'] },
          source: 'text or null',
          harmonic: 'number or null',
        },
      },
    },
    sources: {
      listOf: { fields: { source: 'text', before_hz: 'number or null', after_hz: 'number or null', tracks: 'object' } },
    },
    problems: PROBLEMS,
  },
};

export const READ_SHAPE: Shape = {
  fields: {
    schema: { words: ['spurledger.read/1'] },
    captures: {
      listOf: {
        fields: {
          file: 'text',
          sha256: 'text',
          layout: 'text',
          trace_number: 'number',
          points: 'number',
          start_hz: 'number',
          stop_hz: 'number',
          rbw_hz: 'number or null',
          unit: 'text',
          averages: 'number or null',
          warnings: { listOf: 'text' },
          traces: {
            listOf: {
              fields: {
                label: 'text',
                points: 'number',
                blank_points: 'number',
                start_hz: 'number',
                stop_hz: 'number',
                smallest_step_hz: 'number',
                largest_step_hz: 'number',
                unit: 'text',
                lowest_level: 'number or null',
                highest_level: 'number or null',
                settings: {
                  fields: { rbw_hz: 'number or null', averages: 'number or null', averaging: 'text', detector: 'text' },
                },
              },
            },
          },
        },
      },
    },
    problems: PROBLEMS,
  },
};

/** What the keywords of a file of version 2 say. */
export interface Keywords {
  readonly version: 1 | 2;
  readonly ports: number | null;
  /** How the four parameters of two ports stand: 12 is S11 S12 S21 S22, 21 is S11 S21 S12 S22. */
  readonly twoPortOrder: '12_21' | '21_12';
  readonly matrix: 'full' | 'lower' | 'upper';
  readonly referenceOhm: readonly number[];
  readonly statedFrequencies: number | null;
  readonly statedNoiseFrequencies: number | null;
}

export const VERSION_1: Keywords = {
  version: 1,
  ports: null,
  // version 1 fixes S11 S21 S12 S22 for two ports
  twoPortOrder: '21_12',
  matrix: 'full',
  referenceOhm: [],
  statedFrequencies: null,
  statedNoiseFrequencies: null,
};

/** The keywords with one more line `[Name] value` taken in. Unknown ones change nothing. */
export function withKeyword(keywords: Keywords, name: string, value: string): Keywords {
  const number = (): number | null => (/^\d+$/.test(value.trim()) ? Number(value.trim()) : null);
  switch (name.toLowerCase().replace(/\s+/g, ' ')) {
    case 'version':
      return { ...keywords, version: /^2/.test(value.trim()) ? 2 : 1 };
    case 'number of ports':
      return { ...keywords, ports: number() };
    case 'two-port data order':
    case 'two-port order':
      return { ...keywords, twoPortOrder: value.trim() === '12_21' ? '12_21' : '21_12' };
    case 'matrix format': {
      const format = value.trim().toLowerCase();
      return { ...keywords, matrix: format === 'lower' || format === 'upper' ? format : 'full' };
    }
    case 'number of frequencies':
      return { ...keywords, statedFrequencies: number() };
    case 'number of noise frequencies':
      return { ...keywords, statedNoiseFrequencies: number() };
    case 'reference':
      return {
        ...keywords,
        referenceOhm: value
          .trim()
          .split(/\s+/)
          .map(Number)
          .filter((ohm) => ohm > 0),
      };
    default:
      return keywords;
  }
}

/** What the option line states: `# GHz S MA R 50`. */
export interface Options {
  readonly frequencyFactor: number;
  readonly parameter: 'S' | 'Y' | 'Z' | 'H' | 'G';
  readonly format: 'RI' | 'MA' | 'DB';
  readonly referenceOhm: number;
}

const FACTORS: Readonly<Record<string, number>> = { HZ: 1, KHZ: 1e3, MHZ: 1e6, GHZ: 1e9 };

/**
 * The option line of a Touchstone file (Touchstone File Format Specification, version 1.1 and 2.0): parts in any order and any case,
 * each with its default: GHz, S, MA, R 50. Null where a word is none of these.
 */
export function parseOptions(line: string): Options | null {
  const words = line
    .replace(/^\s*#/, '')
    .replace(/!.*$/, '')
    .trim()
    .toUpperCase()
    .split(/\s+/)
    .filter((word) => word !== '');
  let options: Options = { frequencyFactor: 1e9, parameter: 'S', format: 'MA', referenceOhm: 50 };
  for (let w = 0; w < words.length; w++) {
    const word = words[w]!;
    if (word in FACTORS) options = { ...options, frequencyFactor: FACTORS[word]! };
    else if (/^[SYZHG]$/.test(word)) options = { ...options, parameter: word as Options['parameter'] };
    else if (/^(?:RI|MA|DB)$/.test(word)) options = { ...options, format: word as Options['format'] };
    else if (word === 'R') {
      const ohm = Number(words[++w]);
      if (!(ohm > 0)) return null;
      options = { ...options, referenceOhm: ohm };
    } else return null;
  }
  return options;
}

/**
 * True where the first line that is no remark is an option line or a version keyword.
 *
 * @param named true where the file's name ends in .s1p, .s2p and so on: an option line of nothing but its mark is enough then
 */
export function isTouchstone(head: Uint8Array, named: boolean): boolean {
  let text = '';
  for (let i = 0; i < Math.min(head.length, 8192); i++) text += String.fromCharCode(head[i]!);
  for (const line of text.split(/\r\n|\r|\n/)) {
    const bare = line.trim();
    if (bare === '' || bare.startsWith('!')) continue;
    if (/^\[version\]\s*[12]/i.test(bare)) return true;
    if (!bare.startsWith('#')) return false;
    const words = bare.slice(1).trim();
    return parseOptions(bare) !== null && (named || words.split(/\s+/).length >= 2);
  }
  return false;
}

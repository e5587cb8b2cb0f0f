/** Mulberry32: numbers from 0 (included) to 1 (excluded), the same for the same seed. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Values that readers get wrong: limits of the usual widths, and marks of text formats. */
const NASTY: readonly (readonly number[])[] = [
  [0xff, 0xff, 0xff, 0xff],
  [0xff, 0xff, 0xff, 0x7f],
  [0, 0, 0, 0],
  [0, 0, 0, 0x80],
  [0xff, 0xff],
  [0, 0],
  [1, 0, 0, 0, 0, 0, 0, 0],
  [0, 0, 0xf0, 0x7f],
  [0, 0, 0xc0, 0x7f],
  [...'9999999999'].map((c) => c.charCodeAt(0)),
  [...'-1'].map((c) => c.charCodeAt(0)),
  [...'nan'].map((c) => c.charCodeAt(0)),
  [...'1e999'].map((c) => c.charCodeAt(0)),
  [...'\n'].map((c) => c.charCodeAt(0)),
  [0x22],
  [0x27],
];

/** One to six changes: bytes, bits, nasty values, stretches doubled, swapped, deleted or cut, digits replaced by digits. */
export function mutated(bytes: Uint8Array, random: () => number, largest: number): Uint8Array {
  const below = (n: number): number => Math.floor(random() * n);
  let out = Uint8Array.from(bytes);
  // heads are where structure is
  const place = (): number => (random() < 0.6 ? below(Math.min(out.length, 600)) : below(out.length));
  for (let changes = 1 + below(6); changes > 0 && out.length > 0; changes--) {
    const at = place();
    const kind = below(9);
    if (kind === 0) out[at] = below(256);
    else if (kind === 1) out[at]! ^= 1 << below(8);
    else if (kind === 2) out.set(NASTY[below(NASTY.length)]!.slice(0, out.length - at), at);
    else if (kind === 3) out = out.slice(0, at);
    else if (kind === 4) {
      const stretch = out.slice(at, at + below(200));
      out = spliced(out, at, 0, stretch);
    } else if (kind === 5) out = spliced(out, at, below(60), new Uint8Array(0));
    else if (kind === 6) out = spliced(out, at, 0, Uint8Array.from(NASTY[below(NASTY.length)]!));
    else if (kind === 7) {
      const from = place();
      out.set(out.slice(from, from + Math.min(16, out.length - at)), at);
    } else {
      // the next digit becomes another
      for (let i = at; i < out.length && i < at + 400; i++)
        if (out[i]! >= 48 && out[i]! <= 57) {
          out[i] = 48 + below(10);
          break;
        }
    }
  }
  return out.length > largest ? out.slice(0, largest) : out;
}

function spliced(bytes: Uint8Array, at: number, removed: number, added: Uint8Array): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(bytes.length + added.length - Math.min(removed, bytes.length - at));
  out.set(bytes.subarray(0, at));
  out.set(added, at);
  out.set(bytes.subarray(Math.min(bytes.length, at + removed)), at + added.length);
  return out;
}

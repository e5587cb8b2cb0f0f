import type { SampleType } from '../../model/recording.ts';

export interface Datatype {
  readonly complex: boolean;
  readonly type: SampleType;
  readonly bigEndian: boolean;
}

/**
 * A dataset format of the core namespace: `r` or `c`, the type, and for more than one byte the byte order (SigMF specification 1.2,
 * “Dataset Format”). Null for anything else; a missing byte order is taken as little-endian, which `orderMissing` tells.
 */
export function parseDatatype(text: string): (Datatype & { readonly orderMissing: boolean }) | null {
  const match = /^([rc])(?:([fiu])(64|32|16)(?:_(le|be))?|([iu])8(?:_(?:le|be))?)$/.exec(text);
  if (match === null) return null;
  const complex = match[1] === 'c';
  if (match[5] !== undefined)
    return { complex, type: match[5] === 'i' ? 'i8' : 'u8', bigEndian: false, orderMissing: false };
  const type = `${match[2]!}${match[3]!}`;
  if (type === 'f16') return null;
  return { complex, type: type as SampleType, bigEndian: match[4] === 'be', orderMissing: match[4] === undefined };
}

/** The name of a format, for writing. */
export function datatypeName({ complex, type, bigEndian }: Datatype): string {
  const order = type === 'i8' || type === 'u8' ? '' : bigEndian ? '_be' : '_le';
  return `${complex ? 'c' : 'r'}${type}${order}`;
}

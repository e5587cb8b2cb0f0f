/** Where a measuring point lies on a photograph: shares of its width and height from the top left corner, 0 to 1. */
export interface ProbePin {
  readonly pointId: number;
  readonly x: number;
  readonly y: number;
}

export const PHOTO_TYPES = ['image/jpeg', 'image/png', 'image/webp'] as const;
export type PhotoType = (typeof PHOTO_TYPES)[number];

/** A photograph of the build on which probe positions are pinned. The picture's bytes are kept beside it. */
export interface ProbePhoto {
  readonly id: number;
  readonly name: string;
  readonly type: PhotoType;
  /** SHA-256 of the picture's bytes, lower-case hex. */
  readonly sha256: string;
  readonly pins: readonly ProbePin[];
}

/** A picture larger than this is refused: 25 MB is a camera's largest, and the register holds every one. */
export const LARGEST_PHOTO_BYTES = 25 * 1024 * 1024;

/**
 * What picture these bytes are by their first ones (JPEG: ISO/IEC 10918-1, PNG: ISO/IEC 15948, WebP: RFC 9649), or null: a name
 * can say anything.
 */
export function photoType(bytes: Uint8Array): PhotoType | null {
  const begins = (...first: number[]): boolean => first.every((byte, i) => bytes[i] === byte);
  if (begins(0xff, 0xd8, 0xff)) return 'image/jpeg';
  if (begins(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return 'image/png';
  const word = (at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4));
  return word(0) === 'RIFF' && word(8) === 'WEBP' ? 'image/webp' : null;
}

import { expect, test } from 'vitest';
import { photoType } from '../../src-main/model/probe-photo.ts';

const ascii = (text: string) => [...text].map((letter) => letter.charCodeAt(0));
// the first bytes that the published formats prescribe
test.each([
  ['JPEG (ISO/IEC 10918-1: start of image, then a marker)', [0xff, 0xd8, 0xff, 0xe0], 'image/jpeg'],
  ['PNG (ISO/IEC 15948, 5.2)', [0x89, ...ascii('PNG'), 0x0d, 0x0a, 0x1a, 0x0a], 'image/png'],
  ['WebP (RFC 9649, 2.4)', [...ascii('RIFF'), 1, 0, 0, 0, ...ascii('WEBP')], 'image/webp'],
  ['another RIFF file', [...ascii('RIFF'), 1, 0, 0, 0, ...ascii('WAVE')], null],
  ['a picture of scripts', ascii('<svg onload="x">'), null],
  ['a cut PNG', [0x89, ...ascii('PN')], null],
  ['nothing', [], null],
] as const)('%s is told by its first bytes', (_, bytes, type) => {
  expect(photoType(Uint8Array.from(bytes))).toBe(type);
});

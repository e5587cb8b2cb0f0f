import type { Database } from 'better-sqlite3';
import type { ProbePhoto } from '../model/probe-photo.ts';
import type { Blobs } from './blobs.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';

/** Photographs with pins; the pictures lie among the blobs, each kept once. */
export class PhotoStore extends EntityStore<ProbePhoto> {
  private readonly pictures: Blobs;

  constructor(db: Database, log: ChangeLog, blobs: Blobs) {
    super(db, log, {
      subject: 'photo',
      columns: ({ sha256 }) => ({ sha256 }),
      nameOf: ({ name }) => name,
      wrongWith: ({ pins }) => {
        const stray = pins.find(({ x, y }) => !(x >= 0 && x <= 1 && y >= 0 && y <= 1));
        if (stray !== undefined)
          return {
            found: `a pin at ${stray.x}, ${stray.y}`,
            expected: 'shares of width and height between 0 and 1',
            wayOut: 'Set the pin on the picture.',
          };
        const missing = pins.find(
          ({ pointId }) => db.prepare('SELECT 1 FROM point WHERE id = ? AND gone = 0').get(pointId) === undefined,
        );
        return missing === undefined
          ? null
          : {
              found: 'a pin of a point that is not there',
              expected: 'pins of measuring points',
              wayOut: 'Look again.',
            };
      },
      restsOn: () => null,
    });
    this.pictures = blobs;
  }

  /** Keeps a picture's bytes. @returns the SHA-256 that a photo names it by */
  keepPicture(bytes: Uint8Array): string {
    return this.pictures.put(bytes, 'none');
  }

  /** @throws RegisterError `damaged` where the bytes are not those that were kept */
  picture({ sha256, name }: ProbePhoto): Uint8Array {
    return this.pictures.get(sha256, `photo ${name}`);
  }
}

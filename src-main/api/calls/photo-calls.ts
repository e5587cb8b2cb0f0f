import { InputError } from '../../model/input-problem.ts';
import { LARGEST_PHOTO_BYTES, photoType } from '../../model/probe-photo.ts';
import type { ApiParts } from '../api-parts.ts';
import type { PhotoCalls } from '../contract/photo-calls.ts';
import { mustBeThere } from '../steps/must-be-there.ts';

/** Photographs of the build with probe positions pinned on them. */
export function photoCalls({ session }: ApiParts): PhotoCalls {
  const photos = () => session.register.photos;
  const get = (id: number) => {
    mustBeThere(photos(), id, 'photo');
    return photos().get(id)!;
  };
  const change = <T>(act: () => T): Promise<T> => {
    const result = act();
    session.changed(['photo']);
    return Promise.resolve(result);
  };
  return {
    photoList: () => Promise.resolve(photos().list()),
    photoAdd({ name, bytes }) {
      const refuse = (found: string, expected: string, wayOut: string) => {
        throw new InputError({ file: name, place: 'the whole file', found, expected, wayOut });
      };
      if (bytes.length > LARGEST_PHOTO_BYTES)
        refuse(`${(bytes.length / 1e6).toFixed(0)} MB`, 'at most 25 MB', 'Save the picture smaller and take that.');
      const type = photoType(bytes);
      if (type === null)
        return Promise.resolve(
          refuse('no JPEG, PNG or WebP picture', 'one of these', 'Save the picture as JPEG or PNG.'),
        );
      return change(() =>
        session.register.step(() => photos().put(null, { name, type, sha256: photos().keepPicture(bytes), pins: [] })),
      );
    },
    photoBytes: ({ id }) => Promise.resolve(photos().picture(get(id))),
    photoPut({ id, name, pins }) {
      const { type, sha256 } = get(id);
      return change(() => photos().put(id, { name, type, sha256, pins }));
    },
    photoRemove: ({ id }) => change(() => photos().remove(id)),
  };
}

import * as v from 'valibot';
import { finite, id, name, none } from './common.ts';

export const PHOTO_CHECKS = {
  photoList: none,
  photoAdd: v.strictObject({ name, bytes: v.instance(Uint8Array) }),
  photoBytes: v.strictObject({ id }),
  photoPut: v.strictObject({
    id,
    name,
    pins: v.pipe(v.array(v.strictObject({ pointId: id, x: finite, y: finite })), v.maxLength(1000)),
  }),
  photoRemove: v.strictObject({ id }),
};

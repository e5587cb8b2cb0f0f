import type { ProbePhoto, ProbePin } from '../../model/probe-photo.ts';

export interface PhotoCalls {
  photoList(argument: Record<string, never>): Promise<readonly ProbePhoto[]>;
  /** Takes a picture in; JPEG, PNG or WebP. */
  photoAdd(argument: { name: string; bytes: Uint8Array }): Promise<ProbePhoto>;
  photoBytes(argument: { id: number }): Promise<Uint8Array>;
  /** Names it anew and sets its pins. */
  photoPut(argument: { id: number; name: string; pins: readonly ProbePin[] }): Promise<ProbePhoto>;
  photoRemove(argument: { id: number }): Promise<void>;
}

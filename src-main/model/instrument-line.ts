/** A stretch of a spectrum where the receiver, the recorder or the computation shows itself: what stands there says nothing of the build. */
export interface InstrumentLine {
  readonly kind: 'dc' | 'image' | 'side-lobe';
  readonly lowHz: number;
  readonly highHz: number;
  /** One sentence a reviewer can read: how it is known. */
  readonly why: string;
}

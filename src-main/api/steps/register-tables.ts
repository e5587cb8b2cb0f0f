import type { Band } from '../../model/band.ts';
import type { Register } from '../../register/register.ts';

/** The bands of a table in place of those a register has, as one step: a band that is still there keeps its number. */
export function importBands(register: Register, bands: readonly Band[]): void {
  register.step(() => {
    const known = new Map(register.bands.list().map((band) => [band.name, band.id]));
    for (const band of bands) register.bands.put(known.get(band.name) ?? null, band);
    for (const [name, id] of known) if (!bands.some((band) => band.name === name)) register.bands.remove(id);
  });
}

export function withoutId<T extends { readonly id: number }>({ id: _id, ...rest }: T): Omit<T, 'id'> {
  return rest;
}

/** Anything that JSON can hold. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [field: string]: Json };

type Loose = null | boolean | number | string | readonly Loose[] | { readonly [field: string]: Loose | undefined };

/**
 * A document ready for JSON: no NaN, no infinity, no −0, no absent field.
 *
 * A number that is not finite becomes null, and the object it stood in gets (or extends) a field `reasons` that says
 * what stood there: "no value" is never silent. −0 becomes 0. Fields that are undefined are left out.
 * In an array such a number becomes null with the reason in the nearest object around it, named `field[index]`.
 */
export function plainJson(document: Loose): Json {
  return plain(document, null, '');
}

type Report = (field: string, reason: string) => void;

function plain(value: Loose, report: Report | null, path: string): Json {
  if (typeof value === 'number') {
    if (Number.isFinite(value)) return value === 0 ? 0 : value;
    report?.(
      path,
      `no finite number: ${Number.isNaN(value) ? 'not a number' : value > 0 ? 'infinite' : 'minus infinite'}`,
    );
    return null;
  }
  if (value === null || typeof value !== 'object') return value;
  if (Array.isArray(value)) return (value as readonly Loose[]).map((item, i) => plain(item, report, `${path}[${i}]`));
  const out: Record<string, Json> = {};
  const found: Record<string, string> = {};
  for (const [field, inner] of Object.entries(value as { readonly [field: string]: Loose | undefined })) {
    if (inner !== undefined) out[field] = plain(inner, (name, reason) => (found[name] = reason), field);
  }
  if (Object.keys(found).length > 0)
    out['reasons'] = { ...(out['reasons'] as Record<string, Json> | undefined), ...found };
  return out;
}

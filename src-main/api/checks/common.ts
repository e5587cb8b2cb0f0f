import * as v from 'valibot';

// The longest text taken in one field: notes of a page or two; a text of megabytes is a slip or an attack.
export const text = (longest = 10_000) => v.pipe(v.string(), v.maxLength(longest));
export const name = v.pipe(text(200), v.regex(/\S/, 'expected some text'));
export const path = v.pipe(
  text(4096),
  v.minLength(1),
  v.check((value) => !value.includes('\0'), 'expected a path without NUL'),
);
export const id = v.pipe(v.number(), v.safeInteger(), v.minValue(1));
export const ids = v.pipe(v.array(id), v.minLength(1), v.maxLength(10_000));
export const index = v.pipe(v.number(), v.safeInteger(), v.minValue(0));
export const finite = v.pipe(v.number(), v.finite());
export const positive = v.pipe(finite, v.gtValue(0));
export const jobId = v.pipe(text(200), v.minLength(1));
export const dateTime = v.pipe(
  text(40),
  v.check(
    (value) => /^\d{4}-\d{2}-\d{2}/.test(value) && !Number.isNaN(Date.parse(value)),
    'expected an ISO 8601 date-time',
  ),
);
export const designator = name;
export const none = v.strictObject({});
// A table of sources or bands as text; 16 MiB is far beyond any.
export const tableText = text(16 * 1024 * 1024);

/** A stretch of the frequency axis drawn in so many columns. */
export const view = {
  lowHz: finite,
  highHz: finite,
  columns: v.pipe(v.number(), v.safeInteger(), v.minValue(1), v.maxValue(20_000)),
};

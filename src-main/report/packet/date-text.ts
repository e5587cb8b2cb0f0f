/** An ISO 8601 date-time as `2026-03-20 13:00 UTC`; anything else as it is. */
export function formatDate(text: string): string {
  const time = Date.parse(text);
  if (Number.isNaN(time) || !/^\d{4}-\d{2}-\d{2}T/.test(text)) return text;
  return `${new Date(time).toISOString().slice(0, 16).replace('T', ' ')} UTC`;
}

/**
 * Days of the calendar, as this device has them.
 *
 * Enters: the device's clock, or a day as year-month-day. Leaves: year-month-day, or words for people.
 * Always true: a day is a day of the calendar here, whatever the hour elsewhere.
 * Never: computes with days; the engine does.
 */

/** Today, year-month-day. */
export function today(): string {
  const now = new Date();
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, '0')}-${String(now.getDate()).padStart(2, '0')}`;
}

/** "May 3, 2026", as people write it where this device is; empty for no day. */
export function dayInWords(iso: string): string {
  if (iso === '') return '';
  return new Date(`${iso}T12:00:00`).toLocaleDateString(undefined, { year: 'numeric', month: 'long', day: 'numeric' });
}

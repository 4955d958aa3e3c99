const A_DAY = 86_400_000;

const DAY = /^\d{4}-\d\d-\d\d$/;

/** Whether a text is a date such as `2026-01-05`, from 1900 to 9000. */
export const isDay = (text: string): boolean => {
  if (!DAY.test(text)) return false;
  const moment = new Date(`${text}T00:00:00Z`);
  return (
    !Number.isNaN(moment.getTime()) &&
    moment.toISOString().startsWith(text) &&
    text >= "1900-01-01" &&
    text <= "9000-12-31"
  );
};

/** Whether a text is a moment in UTC such as `2026-01-05T12:00:00Z`. */
export const isMoment = (text: string): boolean =>
  /^.{10}T([01]\d|2[0-3]):[0-5]\d:[0-5]\dZ$/.test(text) && isDay(text.slice(0, 10));

/** The date some days after another. */
export const dayAfter = (day: string, days: number): string =>
  new Date(Date.parse(`${day}T00:00:00Z`) + days * A_DAY).toISOString().slice(0, 10);

/** Whole days from one date or moment to another. */
export const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(`${to.slice(0, 10)}T00:00:00Z`) - Date.parse(`${from.slice(0, 10)}T00:00:00Z`)) / A_DAY);

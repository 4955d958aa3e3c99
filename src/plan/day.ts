/** How a day's minutes are spent. */
export interface DayShape {
  readonly minutesADay: number;
  readonly warmUpMinutes: number;
  readonly minutesADrill: number;
  /** Longest stretch of playing without a break. */
  readonly breakAfter: number;
  readonly breakMinutes: number;
}

/** The parts of a day in order: the warm-up if there is one, then drills, with a break only where playing on would be too long. */
export const partsOfDay = (shape: DayShape): ("warm-up" | "break" | "drill")[] => {
  const parts: ("warm-up" | "break" | "drill")[] = shape.warmUpMinutes > 0 ? ["warm-up"] : [];
  let used = shape.warmUpMinutes;
  let played = shape.warmUpMinutes;
  for (;;) {
    const rest = played + shape.minutesADrill > shape.breakAfter;
    used += shape.minutesADrill + (rest ? shape.breakMinutes : 0);
    if (used > shape.minutesADay) return parts;
    if (rest) parts.push("break");
    parts.push("drill");
    played = (rest ? 0 : played) + shape.minutesADrill;
  }
};

/**
 * Rows as aligned columns, two spaces apart, numbers to the right.
 *
 * @param rows - cells by row; the first row may be a heading
 */
export function table(rows: readonly (readonly string[])[]): string {
  const widths: number[] = [];
  for (const row of rows)
    row.forEach((cell, i) => {
      widths[i] = Math.max(widths[i] ?? 0, width(cell));
    });
  const numeric = widths.map((_, i) => rows.slice(1).every((row) => /^-?\d*$/.test(row[i] ?? "")));
  return rows
    .map((row) =>
      row
        .map((cell, i) => {
          const pad = " ".repeat((widths[i] as number) - width(cell));
          return numeric[i] ? pad + cell : cell + pad;
        })
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}

const width = (text: string): number => [...text].length;

/** The same rows with lines for columns: a heading at the left of each line. */
export function sideways(rows: readonly (readonly string[])[]): string {
  const widths = (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => width(row[i] ?? ""))));
  return rows
    .map((row) =>
      row
        .map((cell, i) => cell + " ".repeat((widths[i] as number) - width(cell)))
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}

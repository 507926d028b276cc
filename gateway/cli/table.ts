/** Rows as text columns, two spaces apart; cells of a column in `right` stand to the right. */
export function columns(rows: readonly (readonly string[])[], right: readonly boolean[] = []): string[] {
  const widths: number[] = []
  for (const row of rows) for (const [i, cell] of row.entries()) widths[i] = Math.max(widths[i] ?? 0, cell.length)
  return rows.map((row) =>
    row
      .map((cell, i) => (right[i] ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0)))
      .join('  ')
      .trimEnd(),
  )
}

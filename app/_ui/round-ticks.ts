/** About `count` round numbers from `from` to `to`: steps of 1, 2 or 5. */
export function roundTicks(from: number, to: number, count: number): number[] {
  const rough = (to - from) / count
  const decade = 10 ** Math.floor(Math.log10(rough))
  const step = decade * ([1, 2, 5].find((one) => one * decade >= rough) ?? 10)
  const first = Math.ceil(from / step)
  return Array.from({ length: Math.floor(to / step) - first + 1 }, (_, i) =>
    Number(((first + i) * step).toPrecision(12)),
  )
}

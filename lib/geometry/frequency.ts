/** Turn rate of a roller that the web drives without slip, 1/s: v/(πD). */
export const turnRate = (speed: number, diameter: number): number => speed / (Math.PI * diameter)

/** Frequency at which a line of `f` Hz shows when sampled at `rate` Hz: |f − n·rate| at its smallest, within [0, rate/2]. */
export function aliasOf(f: number, rate: number): number {
  return Math.abs(f - rate * Math.round(f / rate))
}

/** Natural frequency of the roller on its cells, Hz: √(k/m)/2π. @param stiffness of both cells together, N/m */
export const naturalFrequency = (stiffness: number, mass: number): number => Math.sqrt(stiffness / mass) / (2 * Math.PI)

/** What could make a line in the spectrum. */
export interface LineSource {
  readonly kind: 'turn' | 'mains' | 'natural'
  /** The roller's name, or "mains". */
  readonly name: string
  /** 1 for the turn or the mains itself, 2 for its double … */
  readonly order: number
  readonly frequency: number
  /** Where it shows when sampled, Hz. */
  readonly alias: number
}

export interface LineInputs {
  readonly speed: number
  /** Hz */
  readonly sampleRate: number
  readonly rollers: readonly { readonly name: string; readonly radius: number }[]
  /** Turns of a roller that make a line: 1 and 2 when absent. */
  readonly orders?: readonly number[]
  readonly mains: 50 | 60
  /** Stiffness of both cells, N/m, and the mass on them, kg; null when not known. */
  readonly onCells: { readonly stiffness: number; readonly mass: number } | null
}

/**
 * The lines that rollers, mains and the roller on its cells can make, in order of where they show.
 * A standing web turns no roller; orders 1 and 2 of each (runout and unbalance make the first, an oval shell the second).
 */
export function lineSources({ speed, sampleRate, rollers, orders = [1, 2], mains, onCells }: LineInputs): LineSource[] {
  const line = (kind: LineSource['kind'], name: string, order: number, base: number): LineSource => ({
    kind,
    name,
    order,
    frequency: order * base,
    alias: aliasOf(order * base, sampleRate),
  })
  const turning = speed > 0 ? rollers : []
  return [
    ...turning.flatMap(({ name, radius }) =>
      orders.map((order) => line('turn', name, order, turnRate(speed, 2 * radius))),
    ),
    ...[1, 2].map((order) => line('mains', 'mains', order, mains)),
    ...(onCells === null
      ? []
      : [line('natural', 'roller on its cells', 1, naturalFrequency(onCells.stiffness, onCells.mass))]),
  ].sort((a, b) => a.alias - b.alias)
}

/** The sources of a line seen at `frequency`, nearest first, no farther than `resolution` Hz. */
export function sourcesAt(frequency: number, resolution: number, sources: readonly LineSource[]): LineSource[] {
  const farther = (source: LineSource): number => Math.abs(source.alias - frequency)
  return sources.filter((source) => farther(source) <= resolution).sort((a, b) => farther(a) - farther(b))
}

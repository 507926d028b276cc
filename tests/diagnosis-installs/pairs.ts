import type { Ranking } from '../../lib/diagnosis/diagnose.ts'
import type { FaultId } from '../../shared/faults.ts'
import type { LineId } from './lines.ts'
import { SimulatedInstall } from './simulated-install.ts'
import { onLine, onLineOf, type Whole } from './variation.ts'
import { verify } from './verify.ts'

/** Two faults of one install, both there when the zero was taken; at most one of them of one side. */
export type Pair = readonly [FaultId, FaultId]

/** Faults of different trades that a fitting may well leave together (common practice). */
export const PAIRS: readonly Pair[] = [
  ['gain-one-side', 'mains-hum'],
  ['arrows-differ', 'roller-unbalance'],
  ['both-arrows-off', 'mains-hum'],
  ['span-wrong', 'web-off-centre'],
  ['loose-clamp', 'neighbour-roller'],
  ['filters-differ', 'web-off-centre'],
  ['tight-bearing', 'drive-interference'],
  ['polarity-reversed', 'roller-runout'],
]

export interface PairOutcome {
  readonly pair: Pair
  /** Both among the first two, three and four, each on its side. */
  readonly areIn: { readonly two: boolean; readonly three: boolean; readonly four: boolean }
  /** Both among the first three, once no test about the likeliest cause alone was left. */
  readonly wereInThree: boolean
  /** Both told as what may be wrong together. */
  readonly isToldTogether: boolean
  readonly words: string
}

/** The n-th install with both, each between so many of its thresholds; null where no line can have both. */
export function pairOutcome(
  pair: Pair,
  n: number,
  wholes: ReadonlyMap<LineId, Whole>,
  times: readonly [number, number],
): PairOutcome | null {
  const made = onLineOf(n, (line) => {
    const whole = wholes.get(line)
    if (whole === undefined) return null
    const [one, other] = pair.map((cause) => onLine(cause, n, line, whole, times, pair.join(' ')))
    return one == null || other == null ? null : ([one, other] as const)
  })
  if (made === null) return null
  const [one, other] = made
  const at = new SimulatedInstall({ ...one.options, faults: [...one.options.faults, ...other.options.faults] })
  const { alone, final } = verify(at)
  const isTold = (ones: Ranking['ranked']): boolean =>
    made.every(({ cause, side }) =>
      ones.some(({ hypothesis: h }) => h.id === cause && (side === null || h.side === side)),
    )
  const areIn = (first: number, { ranked }: Ranking = final): boolean => isTold(ranked.slice(0, first))
  const told = final.ranked.slice(0, 3).map(({ hypothesis: { id }, probability: p }) => `${id} ${p.toFixed(2)}`)
  return {
    pair,
    areIn: { two: areIn(2), three: areIn(3), four: areIn(4) },
    wereInThree: areIn(3, alone.ranking),
    isToldTogether: isTold(final.combination?.members ?? []),
    words: `${pair.join(' and ')} on ${one.line}, install ${n}: {${told.join(', ')}}`,
  }
}

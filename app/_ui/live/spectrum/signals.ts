import type {
  SignalSpectrumTold,
  SignalSpectrumView,
  SpectrumSignal,
  ZoneSpectrum,
} from '../../../../shared/schemas/spectrum.ts'
import { SIDES } from '../../sides.ts'

interface SignalLook {
  readonly name: string
  readonly title: string
  readonly color: string
  readonly dash: string | null
}

/** Words, colour and line style of each signal: always all three together. */
export const SIGNALS: Readonly<Record<SpectrumSignal, SignalLook>> = {
  ...SIDES,
  sum: { name: 'sum of both sides', title: 'Sum of both sides', color: 'var(--ink)', dash: null },
  difference: {
    name: 'operator side less drive side',
    title: 'Operator side less drive side',
    color: 'var(--ink-soft)',
    dash: '3 3',
  },
}

export const PAIRS = {
  sides: ['drive_side', 'operator_side', 'single'],
  both: ['sum', 'difference'],
} as const satisfies Record<string, readonly SpectrumSignal[]>
export type Pair = keyof typeof PAIRS

export interface ShownSignal {
  readonly signal: SpectrumSignal
  readonly view: SignalSpectrumView
}

/** The signals of a pair that the zone has, in the order they are shown. */
export function shownSignals(spectrum: ZoneSpectrum, pair: Pair): ShownSignal[] {
  return PAIRS[pair].flatMap((signal) => {
    const view = spectrum.signals[signal]
    return view === undefined ? [] : [{ signal, view }]
  })
}

export interface ToldSignal {
  readonly signal: SpectrumSignal
  readonly view: SignalSpectrumTold
}

export const toldSignals = (shown: readonly ShownSignal[]): ToldSignal[] =>
  shown.flatMap(({ signal, view }) => (view.state === 'told' ? [{ signal, view }] : []))

import { aliasOf, type LineSource, lineSources, turnRate } from '../geometry/frequency.ts'

/** A roller whose turns may make lines. */
export interface TurningRoller {
  readonly name: string
  /** m */
  readonly diameter: number
  /** Standard uncertainty of the diameter, m. */
  readonly uDiameter: number
}

export interface CandidateInputs {
  /** Samples per second. */
  readonly rateHz: number
  /** Of the web, m/s; null when stopped or not known. */
  readonly speed: { readonly mean: number; readonly uRelative: number; readonly change: number } | null
  readonly rollers: readonly TurningRoller[]
  /** The measuring roller's own turn rate where a channel tells it, 1/s. */
  readonly ownTurn: {
    readonly name: string
    readonly mean: number
    readonly uRelative: number
    readonly change: number
  } | null
  /** Of the measuring roller on its cells, Hz; null when not known. */
  readonly naturalHz: number | null
}

/** What could make a line, and where that line would be seen. */
export interface Candidate extends Omit<LineSource, 'alias'> {
  readonly words: string
  /** Where it shows when sampled, Hz. */
  readonly seenHz: number
  /** It is above half the sampling rate and seen folded down. */
  readonly folded: boolean
  /** Expanded uncertainty of its frequency, Hz: speed, diameter, and how far the speed moved. */
  readonly U: number
}

/** Turns of a roller that are offered: runout and unbalance make the first, an oval or bent shell the next ones. */
const TURN_ORDERS = [1, 2, 3, 4] as const
/** Both grids of the world: nobody tells the product which one it is on. */
const MAINS = [50, 60] as const
/** How far a large grid strays, Hz (standard range of the maximum steady-state deviation, Regulation (EU) 2017/1485, annex III; from memory). */
const MAINS_STRAYS = 0.2
/** A natural frequency typed in is good to about this share (common practice, no source). */
const NATURAL_WITHIN = 0.1

/** Every source that is known of, by where it would be seen. */
export function candidates(inputs: CandidateInputs): Candidate[] {
  return [...ofRollers(inputs), ...ofOwnTurn(inputs), ...ofMains(inputs), ...ofNatural(inputs)].sort(
    (a, b) => a.seenHz - b.seenHz,
  )
}

/** All candidates that could make a line at `frequencyHz`, nearest first: within `within` Hz and their own uncertainty. */
export function candidatesAt(frequencyHz: number, within: number, known: readonly Candidate[]): Candidate[] {
  const apart = ({ seenHz }: Candidate) => Math.abs(seenHz - frequencyHz)
  return known.filter((one) => apart(one) <= within + one.U).sort((a, b) => apart(a) - apart(b))
}

function ofRollers({ speed, rollers, rateHz }: CandidateInputs): Candidate[] {
  if (speed === null) return []
  return rollers.flatMap((roller) => {
    const sources = lineSources({
      speed: Math.abs(speed.mean),
      sampleRate: rateHz,
      rollers: [{ name: roller.name, radius: roller.diameter / 2 }],
      orders: TURN_ORDERS,
      mains: 50,
      onCells: null,
    })
    const relative = 2 * Math.hypot(speed.uRelative, roller.uDiameter / roller.diameter) + speed.change / 2
    return sources
      .filter(({ kind }) => kind === 'turn')
      .map((source) => candidate(source, rateHz, source.frequency * relative, turnWords(source)))
  })
}

function ofOwnTurn({ ownTurn, rateHz }: CandidateInputs): Candidate[] {
  if (ownTurn === null) return []
  return TURN_ORDERS.map((order) => {
    const source = { kind: 'turn', name: ownTurn.name, order, frequency: order * Math.abs(ownTurn.mean) } as const
    const U = source.frequency * (2 * ownTurn.uRelative + ownTurn.change / 2)
    return candidate(source, rateHz, U, `${turnWords(source)}, by its own turn-rate signal`)
  })
}

function ofMains({ rateHz }: CandidateInputs): Candidate[] {
  return MAINS.flatMap((mains) =>
    lineSources({ speed: 0, sampleRate: rateHz, rollers: [], mains, onCells: null }).map((source) =>
      candidate(
        source,
        rateHz,
        MAINS_STRAYS * source.order,
        source.order === 1 ? `mains at ${mains} Hz` : `twice the mains of ${mains} Hz`,
      ),
    ),
  )
}

function ofNatural({ naturalHz, rateHz }: CandidateInputs): Candidate[] {
  if (naturalHz === null) return []
  const source = { kind: 'natural', name: 'roller on its cells', order: 1, frequency: naturalHz } as const
  return [candidate(source, rateHz, NATURAL_WITHIN * naturalHz, 'the roller swinging on its cells')]
}

function candidate(
  { kind, name, order, frequency }: Omit<LineSource, 'alias'>,
  rateHz: number,
  U: number,
  words: string,
): Candidate {
  const folded = frequency > rateHz / 2
  return { kind, name, order, frequency, seenHz: aliasOf(frequency, rateHz), folded, U, words }
}

const TIMES = ['', 'once', 'twice', 'three times', 'four times']

const turnWords = ({ name, order }: Pick<LineSource, 'name' | 'order'>): string =>
  `${TIMES[order] ?? `${order} times`} a turn of the ${name.replace(/^the /i, '')}`

/** Turn rate of a roller the web drives, 1/s; null while nothing turns it. */
export const turnOf = (speed: CandidateInputs['speed'], diameter: number | undefined): number | null =>
  speed === null || diameter === undefined ? null : turnRate(Math.abs(speed.mean), diameter)

import type { AuxRole, Sample, ZoneFrame } from '../../shared/sample.ts'
import type { ChannelConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import type { OperatingState, WebPath } from '../geometry/description.ts'
import { trioOf } from '../geometry/description.ts'
import { propagateExpected, type UncertainFigures } from '../geometry/expected-uncertainty.ts'
import { type ForceInputs, type Forces, forceInputs, forcesOfWrap } from '../geometry/forces.ts'
import { type ConfiguredGeometry, geometryFromConfig, givenAt, usualState } from '../geometry/from-config.ts'
import type { PathCandidate, RatioQuestion } from '../geometry/path-candidates.ts'
import { ImpossiblePath } from '../geometry/path-fault.ts'
import { RememberedCandidates } from '../geometry/remembered-candidates.ts'
import { entriesOf, mapSides, ofSide, type Sided } from '../geometry/sided.ts'
import type { Uncertainties } from '../geometry/uncertain-inputs.ts'
import { type Wrap, wrapOf } from '../geometry/wrap.ts'
import { SET, sourceWords } from '../scale/default-uncertainty.ts'
import { valueUncertainty } from '../scale/value-uncertainty.ts'
import { effectiveDof } from '../statistics/effective-dof.ts'
import type { FrameExpectation, FrameTension, WindowState } from '../statistics/residual-track.ts'
import type { SideScale, TensionScale } from '../statistics/tension-scale.ts'
import { expandedUncertainty } from '../uncertainty/coverage-factor.ts'
import type { BudgetRow, Propagated } from '../uncertainty/propagate.ts'

interface ExpectedOfSide {
  /** Of the web alone along the arrow, N. */
  readonly force: Propagated
  /** Force of the largest tension along the arrow, N: what a share of span is taken of. */
  readonly span: number
}

/** What the geometry expects of a zone over a window, with uncertainties. */
export interface ExpectedPicture {
  readonly sides: Sided<ExpectedOfSide>
  /** Of the whole web, in newtons of web tension. */
  readonly total: Propagated
  readonly totalSpan: number
  /** rad */
  readonly wrap: number
  readonly momentum: number
  readonly reference: 'channel' | 'typed'
  /** Which other web paths would make these ratios of measured to expected force. */
  readonly explain: (measured: RatioQuestion['measured']) => readonly PathCandidate[]
}

/** A value that something tells, with its standard uncertainty; or why nothing tells it. */
type Followed = { readonly value: number; readonly u: number; readonly source: string } | string

/** Source of a speed that no channel tells. */
const NO_SPEED = 'no speed channel: anywhere up to the fastest'
/** The budget is made anew when an input has moved by this share of itself; values are always of the moment. */
const MOVED = 0.002

/**
 * What a zone's geometry expects, followed live: speed, reference and a moving neighbour come from their channels, or
 * as typed where there is none. A channel that gives no good sample makes the expectation unknown; it is never bridged
 * by a typed value.
 */
export class Expectation {
  readonly #zone: ZoneConfig
  readonly #channels: ReadonlyMap<string, ChannelConfig>
  readonly #configured: ConfiguredGeometry
  readonly #base: ForceInputs
  #wrap: { readonly neighbour: number | null; readonly wrap: Wrap | string }
  readonly #candidates = new RememberedCandidates()
  readonly #pictures = new Remembered()
  readonly #scales = new Remembered()
  /** Speed and neighbour of the newest frame, for the tension scale; or why they are not known. */
  #newest:
    | {
        readonly speed: number
        readonly neighbour: number | null
        readonly speedU: number
        readonly speedSource: string
      }
    | string = 'nothing has been read yet'

  private constructor(zone: ZoneConfig, channels: ReadonlyMap<string, ChannelConfig>, configured: ConfiguredGeometry) {
    this.#zone = zone
    this.#channels = channels
    this.#configured = configured
    const usual = usualState(zone, configured)
    this.#base = forceInputs(configured.geometry, usual)
    this.#wrap = { neighbour: usual.neighbour, wrap: this.#wrapAt(usual.neighbour) }
  }

  /** Undefined for a zone without geometry. Throws as `geometryFromConfig` does; the config check refuses that earlier. */
  static of(zone: ZoneConfig, channels: ReadonlyMap<string, ChannelConfig>): Expectation | undefined {
    const configured = geometryFromConfig(zone, channels)
    return configured === undefined ? undefined : new Expectation(zone, channels, configured)
  }

  /** What is expected of a frame with these samples beside it. A few microseconds. */
  at(aux: ZoneFrame['aux']): FrameExpectation {
    const neighbour = this.#neighbour(aux)
    const speed = this.#speed(aux)
    if (typeof neighbour === 'string') return this.#unknown(neighbour)
    if (typeof speed === 'string') return this.#unknown(speed)
    const place = neighbour?.value ?? null
    this.#newest = { speed: speed.value, neighbour: place, speedU: speed.u, speedSource: speed.source }
    const tension = this.#tension(aux)
    if (typeof tension === 'string') return { kind: 'unknown', why: tension }
    const forces = this.#forces(place, tension.value, speed.value)
    if (typeof forces === 'string') return this.#unknown(forces)
    return {
      kind: 'told',
      tension: tension.value,
      speed: speed.value,
      neighbour: place,
      momentum: forces.liftedMomentum,
      forces: Object.fromEntries(entriesOf(forces.sides).map(([side, { webForce }]) => [side, webForce])),
    }
  }

  /** How tension follows from force at the newest frame, without uncertainties; or why it cannot be told. A few microseconds. */
  tensionAtNewest(): FrameTension | string {
    if (typeof this.#newest === 'string') return this.#newest
    const { speed, neighbour } = this.#newest
    const forces = this.#forces(neighbour, this.#configured.typedTension, speed)
    if (typeof forces === 'string') return forces
    const factors = entriesOf(forces.sides).map(([side, { forceFactor }]) => [side, 1 / forceFactor] as const)
    return { perNewton: Object.fromEntries(factors), momentumN: forces.liftedMomentum }
  }

  /**
   * How tension follows from force over a window, or at the newest frame where nothing was followed yet; or why it
   * cannot be told.
   */
  scale(window: WindowState | null): TensionScale | string {
    if (typeof this.#newest === 'string') return this.#newest
    const { speedU, speedSource } = this.#newest
    const { speed, neighbour } = window ?? this.#newest
    const tension = this.#configured.typedTension
    const forces = this.#forces(neighbour, tension, speed)
    if (typeof forces === 'string') return forces
    // Force factors depend on the neighbour alone: any tension and speed will do.
    const { sides } = this.#propagated(this.#scales, { tension, speed: 0, neighbour })
    const { basisWeight: uBasisWeight } = this.#configured.uncertainties
    const shares = mapSides(sides, ({ forceFactor }) => splitOf(forceFactor))
    const path = larger(entriesOf(shares).map(([, side]) => side.path))
    const uSquare = speed === 0 ? 0 : (2 * speedU) / speed
    return {
      sides: Object.fromEntries(
        entriesOf(forces.sides).map(([side, { forceFactor, webShare }]): readonly [string, SideScale] => [
          side,
          {
            factor: forceFactor,
            arrowU: ofSide(shares, side).arrow.size,
            arrowSource: ofSide(shares, side).arrow.source,
            momentumN: webShare * forces.liftedMomentum,
          },
        ]),
      ),
      pathU: path.size,
      pathSource: path.source,
      momentumU: Math.hypot(uBasisWeight, uSquare),
      momentumSource: uBasisWeight > uSquare ? this.#configured.uncertaintySources.basisWeight : speedSource,
      webOffsetM: this.#zone.web_offset_m,
    }
  }

  /** What is expected over a window, with its budget; or why the web cannot run so. */
  picture(state: WindowState): ExpectedPicture | string {
    const forces = this.#forces(state.neighbour, state.tension, state.speed)
    if (typeof forces === 'string') return forces
    const { geometry } = this.#configured
    const figures = this.#propagated(this.#pictures, state)
    const sides = mapSides(
      forces.sides,
      (side, name): ExpectedOfSide => ({
        force: { ...ofSide(figures.sides, name).webForce, value: side.webForce },
        span: side.tensionShare * side.forceFactor * geometry.load.largest,
      }),
    )
    return {
      sides,
      total: totalOf(
        state.tension,
        totalBudget(mapSides(sides, ({ force }, name) => [force.budget, ofSide(forces.sides, name).forceFactor])),
      ),
      totalSpan: geometry.load.largest,
      wrap: forces.wrap.angle,
      momentum: forces.liftedMomentum,
      reference: this.#zone.reference === undefined ? 'typed' : 'channel',
      explain: (measured) => this.#candidates.of(this.#question(measured, state.neighbour), state.neighbour),
    }
  }

  /** The ratios, put to the path as the neighbour stands. */
  #question(measured: RatioQuestion['measured'], neighbour: number | null): RatioQuestion {
    const { geometry } = this.#configured
    const { before, after } = trioOf(geometry, neighbour)
    const path: WebPath = {
      ...geometry.path,
      before: [...geometry.path.before.slice(0, -1), before],
      after: [after, ...geometry.path.after.slice(1)],
    }
    return { path, arrows: mapSides(geometry.cells, ({ arrow }) => arrow), measured }
  }

  #unknown(why: string): FrameExpectation {
    this.#newest = why
    return { kind: 'unknown', why }
  }

  #tension(aux: ZoneFrame['aux']): Followed {
    const { typedTension, uncertainties, uncertaintySources } = this.#configured
    if (this.#zone.reference === undefined)
      return { value: typedTension, u: uncertainties.tension * typedTension, source: uncertaintySources.tension }
    return this.#channel('reference', aux.reference, 'the reference', (value) => value)
  }

  #speed(aux: ZoneFrame['aux']): Followed {
    const { geometry } = this.#configured
    if (geometry.web.basisWeight * geometry.web.width === 0 && this.#zone.speed === undefined)
      return { value: 0, u: 0, source: NO_SPEED }
    if (this.#zone.speed !== undefined) return this.#channel('speed', aux.speed, 'the speed', (value) => value)
    const { fastestSpeed } = geometry.load
    // Anywhere from standstill to the fastest, all alike (JCGM 100, 4.3.7).
    return { value: fastestSpeed / 2, u: fastestSpeed / Math.sqrt(12), source: NO_SPEED }
  }

  /** Null where nothing moves, or the neighbour is taken as drawn. */
  #neighbour(aux: ZoneFrame['aux']): Followed | null {
    const { typedNeighbour } = this.#configured
    if (this.#zone.neighbour !== undefined)
      return this.#channel('neighbour', aux.neighbour, 'the diameter of the winding roll', (value) => value / 2)
    return typedNeighbour === null ? null : { value: typedNeighbour, u: 0, source: SET }
  }

  #channel(role: AuxRole, sample: Sample | undefined, name: string, of: (value: number) => number): Followed {
    if (sample === undefined || sample.code !== 'good' || sample.value === null || !Number.isFinite(sample.value))
      return `${name} gives no good sample`
    const value = of(sample.value)
    return { value, ...this.#channelU(role, value) }
  }

  #channelU(role: AuxRole, value: number): { readonly u: number; readonly source: string } {
    const channel = this.#channels.get(this.#zone[role] ?? '')
    if (channel === undefined) return { u: 0, source: SET }
    if (role !== 'neighbour') return valueUncertainty(channel, value)
    // The channel tells the diameter of the roll, the geometry takes its radius.
    const { u, source } = valueUncertainty(channel, 2 * value)
    return { u: u / 2, source }
  }

  #wrapAt(neighbour: number | null): Wrap | string {
    try {
      const { before, measuring, after } = trioOf(this.#configured.geometry, neighbour)
      return wrapOf(before, measuring, after)
    } catch (error) {
      if (error instanceof ImpossiblePath) return error.message
      throw error
    }
  }

  #forces(neighbour: number | null, tension: number, speed: number): Forces | string {
    if (neighbour !== this.#wrap.neighbour) this.#wrap = { neighbour, wrap: this.#wrapAt(neighbour) }
    const { wrap } = this.#wrap
    return typeof wrap === 'string' ? wrap : forcesOfWrap(wrap, { ...this.#base, tension, speed })
  }

  /** The budgets, from the last time that an input had moved. */
  #propagated(memory: Remembered, window: WindowState): UncertainFigures<Propagated> {
    const { geometry } = this.#configured
    const offset = this.#zone.web_offset_m
    const state: OperatingState = { ...window, tensionRise: 0, lineOfPull: offset, webOffset: offset }
    return memory.of(state, () => propagateExpected({ geometry, state, given: this.#given(state), correlations: [] }))
  }

  #given({ tension, speed, neighbour }: OperatingState): Uncertainties {
    const { reference, speed: speedChannel, neighbour: neighbourChannel } = this.#zone
    const ofTension = reference === undefined ? undefined : this.#channelU('reference', tension)
    const { fastestSpeed } = this.#configured.geometry.load
    return {
      ...givenAt(this.#configured, tension, ofTension),
      speed:
        speedChannel === undefined
          ? { u: speed === 0 ? 0 : fastestSpeed / Math.sqrt(12), source: NO_SPEED }
          : this.#channelU('speed', speed),
      ...(neighbourChannel === undefined || neighbour === null
        ? {}
        : { neighbour: this.#channelU('neighbour', neighbour) }),
    }
  }
}

/** The last budgets and the state they were made at. */
class Remembered {
  #last: { readonly state: OperatingState; readonly figures: UncertainFigures<Propagated> } | undefined

  of(state: OperatingState, make: () => UncertainFigures<Propagated>): UncertainFigures<Propagated> {
    if (this.#last === undefined || hasMoved(this.#last.state, state)) this.#last = { state, figures: make() }
    return this.#last.figures
  }
}

function hasMoved(before: OperatingState, now: OperatingState): boolean {
  const moved = (a: number | null, b: number | null) =>
    a === null || b === null ? a !== b : Math.abs(a - b) > MOVED * Math.max(Math.abs(a), Math.abs(b))
  return moved(before.tension, now.tension) || moved(before.speed, now.speed) || moved(before.neighbour, now.neighbour)
}

/** Uncertainty of a force factor as shares of it: of the side's own arrow, and of everything else, which is the path. */
function splitOf({ value, budget }: Propagated): { readonly arrow: Part; readonly path: Part } {
  const of = (rows: readonly BudgetRow[]): Part => {
    const parts = rows.map(({ contribution, source }) => ({
      size: Math.abs(contribution / value),
      source: sourceWords(source) ?? '',
    }))
    return { size: Math.hypot(...parts.map(({ size }) => size)), source: larger(parts).source }
  }
  const isArrow = ({ name }: BudgetRow) => name.startsWith('arrow, ')
  return { arrow: of(budget.filter(isArrow)), path: of(budget.filter((row) => !isArrow(row))) }
}

/** A share of a force factor's uncertainty, and where the largest of it came from. */
interface Part {
  readonly size: number
  readonly source: string
}

const larger = (parts: readonly Part[]): Part =>
  parts.reduce((top, part) => (part.size > top.size ? part : top), { size: 0, source: '' })

function totalOf(value: number, budget: readonly BudgetRow[]): Propagated {
  const u = Math.hypot(...budget.map(({ contribution }) => contribution))
  const parts = budget.map(({ contribution, dof }) => ({
    u: Math.abs(contribution),
    dof: dof ?? Number.POSITIVE_INFINITY,
  }))
  return { value, u, ...expandedUncertainty(u, effectiveDof(parts)), budget }
}

/** The sides' budgets added up in newtons of web tension: Σ contribution/k, input by input. */
function totalBudget(sides: Sided<readonly [readonly BudgetRow[], number]>): BudgetRow[] {
  const [first, second] = entriesOf(sides).map(([, [budget, k]]) =>
    budget.map((row) => ({ ...row, sensitivity: row.sensitivity / k, contribution: row.contribution / k })),
  )
  return (first ?? []).map((row, i) => ({
    ...row,
    sensitivity: row.sensitivity + (second?.[i]?.sensitivity ?? 0),
    contribution: row.contribution + (second?.[i]?.contribution ?? 0),
  }))
}

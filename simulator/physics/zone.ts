import { type BridgeSignal, CellChain, type CellParameters, type CellState } from './cell.ts'
import { type DriveParameters, TensionDrive } from './drive.ts'
import { type BothEnds, forcesOnEnds, type LateralForce } from './ends.ts'
import { type FitParameters, soundFit } from './fit.ts'
import { ShaftGrowth, squeeze } from './growth.ts'
import { type Hands, handled, NO_HANDS, pushForces, resultantOf, ropeForce, ropeTable } from './hands.ts'
import { contactArc, freeSpan, type LayoutRoller } from './layout.ts'
import { SlowWander } from './noise.ts'
import { RandomStream } from './random.ts'
import { type RollerParameters, RollerSpin, unbalanceForce } from './roller.ts'
import { Seat } from './seat.ts'
import { type Span, stepSpan } from './span.ts'
import { add, atAngle, dot, type Vec2, vec } from './vector.ts'
import { type WindingParameters, woundRadius } from './winding.ts'
import { integrateWrap, tabulateWrap, type WrapTable } from './wrap.ts'

/** Standard gravity, m/s² (CGPM 1901). */
export const GRAVITY = 9.80665

/** The web in this zone. */
interface WebParameters {
  /** m */
  width: number
  /** kg/m² */
  basisWeight: number
  /** EA per metre of width, N/m. */
  stiffnessPerWidth: number
  /** Centre of the web from mid-span towards the operator side, m. */
  offset: number
  /** Where its tension acts, from the web's own centre (one edge tighter than the other), m. */
  pullOffset: number
  /** Slow sideways wander: standard deviation, m, and time constant, s. */
  wander: number
  wanderTime: number
}

/** What comes in from the zone before. */
interface UpstreamParameters {
  /** Mean tension, N; standard deviation of its wander, N, and time constant, s. */
  tension: number
  wander: number
  wanderTime: number
  /** Once-per-turn ripple of a roll of this diameter: amplitude, N, and diameter, m. */
  ripple: number
  rippleDiameter: number
}

type End = keyof BothEnds<unknown>

/** Everything about one zone; every number may be changed while it runs (call `refresh` after the path). */
export interface ZoneParameters {
  web: WebParameters
  /** Length of web between the two driven rollers, m. */
  spanLength: number
  upstream: UpstreamParameters
  drive: DriveParameters
  path: { before: LayoutRoller; measuring: LayoutRoller; after: LayoutRoller }
  /** The roller after the measuring roller is a roll that winds up the web; it does not grow where this is left out. */
  winding?: WindingParameters
  roller: RollerParameters
  cellDistance: number
  cells: BothEnds<CellParameters>
  /** How the roller is fitted; as it should be where this is left out. */
  fit?: FitParameters
  /** Whose cell is plugged into each channel; each its own where this is left out. */
  cables?: BothEnds<End>
  /** What hands do to it now; left out while nobody is at the zone. */
  hands?: Hands
}

/** One instant of a zone: the truth, and what the two channels make of it. SI. */
export interface ZoneState {
  readonly setTension: number
  /** True web tension before and after the measuring roller, N. */
  readonly tensionIn: number
  readonly tensionOut: number
  /** Where the tension acts and where the web's centre runs, from mid-span towards the operator side, m. */
  readonly lineOfPull: number
  readonly webCentre: number
  readonly rollerRate: number
  readonly rollerAngle: number
  readonly slips: boolean
  /** Force of the web on the roller, N. */
  readonly webForce: Vec2
  /** Wrap of the measuring roller, rad, and diameter of the roller after it, m: both move where that one winds. */
  readonly wrap: number
  readonly nextDiameter: number
  /** How far the shaft has grown against its frame, m. */
  readonly shaftGrowth: number
  readonly cells: BothEnds<CellState>
}

/** What the machine around tells a zone for one step. */
export interface Surroundings {
  readonly speed: number
  readonly setTension: number
  readonly slack: boolean
  readonly ambient: number
  readonly mainsAngle: number
  /** Local, m/s². */
  readonly gravity: number
  /** The drives are powered, whether the web moves or not. */
  readonly driveEnabled: boolean
}

export const WRAP_ELEMENTS = 48

/** Faster than this the roller turns, rad/s. */
const TURNS_FROM = 0.5

const OWN_CABLES: BothEnds<End> = { drive_side: 'drive_side', operator_side: 'operator_side' }

export class Zone {
  readonly parameters: ZoneParameters
  readonly #drive: TensionDrive
  readonly #spin: RollerSpin
  readonly #chains: BothEnds<CellChain>
  readonly #wander: SlowWander
  readonly #upstreamWander: SlowWander
  readonly #seats: BothEnds<Seat>
  readonly #growth = new ShaftGrowth()
  readonly #soundFit = soundFit()
  #grown = 0
  #wrap: WrapTable
  #rippleAngle = 0
  /** T₂ of the span equation; negative is excess length. */
  #pull: number

  /** Starts in the steady state at this speed, set tension and hall temperature. */
  constructor(name: string, parameters: ZoneParameters, seed: number, start: Surroundings) {
    const { cells, web, upstream, path } = parameters
    this.parameters = parameters
    this.#drive = new TensionDrive(parameters.drive, spanOf(parameters), upstream.tension, start.setTension)
    this.#spin = new RollerSpin(start.speed / path.measuring.radius)
    this.#chains = {
      drive_side: new CellChain(cells.drive_side, seed, `${name}/drive_side`, start.ambient),
      operator_side: new CellChain(cells.operator_side, seed, `${name}/operator_side`, start.ambient),
    }
    this.#seats = {
      drive_side: new Seat(new RandomStream(seed, `${name}/drive_side/seat`)),
      operator_side: new Seat(new RandomStream(seed, `${name}/operator_side/seat`)),
    }
    this.#wander = new SlowWander(new RandomStream(seed, `${name}/wander`), web.wanderTime)
    this.#upstreamWander = new SlowWander(new RandomStream(seed, `${name}/upstream`), upstream.wanderTime)
    this.#wrap = tabulate(parameters)
    this.#pull = start.setTension
  }

  /** Takes up a changed path. Throws RangeError when the web cannot run that way; the old path then stays in force. */
  refresh(): void {
    const { path, winding } = this.parameters
    // A roll that will not fit when it is full is said now, not when it has grown.
    if (winding !== undefined) freeSpan(path.measuring, { ...path.after, radius: winding.fullRadius })
    this.#wrap = tabulate(this.parameters)
  }

  /** Resultant of the standing web on the roller for each newton of tension, N/N: the way it pulls. */
  get resultant(): Vec2 {
    return resultantOf(this.#wrap)
  }

  step(around: Surroundings, dt: number): ZoneState {
    const { web, roller, path, hands = NO_HANDS } = this.parameters
    this.#wind(around.speed * dt)
    const setTension = around.slack ? 0 : around.setTension
    this.#stepSpan(around, setTension, dt)
    const ripple = roller.runout.amplitude * Math.cos(this.#spin.angle + roller.runout.phase)
    const tensionIn = this.#pull > 0 && !hands.webOff ? Math.max(0, this.#pull + ripple) : 0
    const torqueWanted = this.#spin.torqueWanted(roller, around.speed / path.measuring.radius, dt)
    const wrap = integrateWrap(this.#wrap, {
      tensionIn,
      tensionRise: torqueWanted / path.measuring.radius,
      momentum: web.basisWeight * web.width * around.speed * around.speed,
      friction: roller.friction,
    })
    this.#spin.turn(roller, wrap.torque, dt)
    this.#grow(around.ambient, dt)
    const webCentre = web.offset + web.wander * this.#wander.step(dt)
    const lineOfPull = webCentre + web.pullOffset
    const tension = { force: wrap.fromTension, at: lineOfPull }
    const momentum = { force: wrap.fromMomentum, at: webCentre }
    const ends = forcesOnEnds(this.#loads(tension, momentum, around.gravity), this.parameters.cellDistance)
    return {
      setTension,
      tensionIn,
      tensionOut: wrap.tensionOut,
      lineOfPull,
      webCentre,
      rollerRate: this.#spin.rate,
      rollerAngle: this.#spin.angle,
      slips: wrap.slips,
      webForce: add(wrap.fromTension, wrap.fromMomentum),
      wrap: this.#wrap.arc.wrap,
      nextDiameter: 2 * path.after.radius,
      shaftGrowth: this.#grown,
      cells: this.#readCells(ends, around, dt),
    }
  }

  /** `length` metres more on the winding roll; the span to it then leaves the measuring roller elsewhere. */
  #wind(length: number): void {
    const { winding, path } = this.parameters
    if (winding === undefined || length === 0) return
    path.after.radius = woundRadius(winding, path.after.radius, length)
    this.#wrap = tabulate(this.parameters)
  }

  #grow(hall: number, dt: number): void {
    const { cellDistance, fit = this.#soundFit } = this.parameters
    this.#grown = this.#growth.step(fit.growth, cellDistance, hall, this.#spin.rate > TURNS_FROM, dt)
  }

  /** Both cells first, then both channels: a channel may have the other's cell plugged in. */
  #readCells(ends: BothEnds<Vec2>, around: Surroundings, dt: number): BothEnds<CellState> {
    const { cables = OWN_CABLES } = this.parameters
    const forces = this.#forcesInCells(ends)
    const bridges = {
      drive_side: this.#bridge('drive_side', forces.drive_side, around, dt),
      operator_side: this.#bridge('operator_side', forces.operator_side, around, dt),
    }
    const { drive_side: ds, operator_side: os } = this.#chains
    return {
      drive_side: ds.read(bridges[cables.drive_side], forces.drive_side, around.mainsAngle, dt),
      operator_side: os.read(bridges[cables.operator_side], forces.operator_side, around.mainsAngle, dt),
    }
  }

  #bridge(side: End, force: number, around: Surroundings, dt: number): BridgeSignal {
    const { cells, hands = NO_HANDS } = this.parameters
    const { wiggled } = hands.cables[side]
    const bridge = this.#chains[side].bridge(force, around.ambient, dt, { wiggled, driveEnabled: around.driveEnabled })
    return handled(bridge, hands.cables[side], cells[side].outputResistance)
  }

  /** Along each arrow what reaches the cell through its seat, and what a grown shaft adds. */
  #forcesInCells(ends: BothEnds<Vec2>): BothEnds<number> {
    const { hands, fit = this.#soundFit } = this.parameters
    if (hands?.rollerLifted === true) {
      return { drive_side: this.#seats.drive_side.lift(), operator_side: this.#seats.operator_side.lift() }
    }
    const apart = squeeze(fit.growth, this.#grown, fit.ends[fit.growth.floating].clearance)
    return {
      drive_side: this.#seated('drive_side', ends.drive_side, fit) - apart,
      operator_side: this.#seated('operator_side', ends.operator_side, fit) + apart,
    }
  }

  #seated(side: End, force: Vec2, fit: FitParameters): number {
    const angle = this.#spin.rate > TURNS_FROM ? this.#spin.angle : null
    return this.#seats[side].step(dot(atAngle(this.parameters.cells[side].arrow), force), fit.ends[side], angle)
  }

  #stepSpan(around: Surroundings, setTension: number, dt: number): void {
    const { upstream, drive } = this.parameters
    const span = spanOf(this.parameters)
    this.#rippleAngle = (this.#rippleAngle + (2 * around.speed * dt) / upstream.rippleDiameter) % (2 * Math.PI)
    const wander = upstream.wander * this.#upstreamWander.step(dt)
    const before = upstream.tension + wander + upstream.ripple * Math.sin(this.#rippleAngle)
    const aim = around.slack ? (-drive.slackLength * span.stiffness) / span.length : setTension * (drive.holds ?? 1)
    const v2 = this.#drive.speed(span, around.speed, aim, this.#pull, dt)
    this.#pull = stepSpan(span, around.speed, v2, before, this.#pull, dt)
  }

  /** All that the cells carry: web, weight, unbalance, and what hands do. Nothing while the roller is off the cells. */
  #loads(tension: LateralForce, momentum: LateralForce, gravity: number): LateralForce[] {
    const { roller, cellDistance, path, hands } = this.parameters
    if (hands?.rollerLifted === true) return []
    const { rate, angle } = this.#spin
    const sense = path.measuring.turns === 'ccw' ? 1 : -1
    const loads = [
      tension,
      momentum,
      { force: vec(0, -roller.mass * gravity), at: roller.centreOfMass },
      { force: unbalanceForce(roller.unbalance.drive_side, rate, angle, sense), at: -cellDistance / 2 },
      { force: unbalanceForce(roller.unbalance.operator_side, rate, angle, sense), at: cellDistance / 2 },
    ]
    if (hands !== undefined) loads.push(...this.#handLoads(hands, gravity))
    return loads
  }

  #handLoads(hands: Hands, gravity: number): LateralForce[] {
    const { roller, cellDistance } = this.parameters
    const pushes = pushForces(hands.push, cellDistance)
    if (hands.rope === null) return pushes
    const over = { gravity, bearing: roller.dragTorque, friction: roller.friction }
    return [...pushes, ropeForce(hands.rope, { ...over, table: ropeTable(hands.rope, this.#wrap) }, hands.ropeFriction)]
  }
}

function spanOf(parameters: ZoneParameters): Span {
  return { stiffness: parameters.web.stiffnessPerWidth * parameters.web.width, length: parameters.spanLength }
}

function tabulate({ path }: ZoneParameters): WrapTable {
  return tabulateWrap(contactArc(path.before, path.measuring, path.after), WRAP_ELEMENTS)
}

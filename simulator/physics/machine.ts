import { Ambient, type AmbientParameters } from './ambient.ts'
import { type ManualCommand, ManualDrive } from './manual.ts'
import { SlowWander } from './noise.ts'
import { type Command, commandAt, type Programme } from './programme.ts'
import { RandomStream } from './random.ts'
import type { Vec2 } from './vector.ts'
import { GRAVITY, type Surroundings, Zone, type ZoneParameters, type ZoneState } from './zone.ts'

/** The whole line: what it is told, the hall around it, and its zones by id. Every number may be changed while it runs. */
export interface MachineParameters {
  /** Hz: 50 or 60, as it really is. */
  mainsHz: number
  ambient: AmbientParameters
  /** Unsteadiness of the line speed: standard deviation over the speed, and time constant, s. */
  speedWander: number
  speedWanderTime: number
  /** Local gravity, m/s²; standard gravity where it is left out. */
  gravity?: number
  zones: Record<string, ZoneParameters>
}

/** Changes parameters before the step of `dt` s that follows on a state. */
export type ParameterDriver = (state: MachineState, dt: number) => void

/** One instant of the line. SI, °C. */
export interface MachineState {
  /** Seconds since the start. */
  readonly time: number
  readonly speed: number
  readonly ambient: number
  /** The drives are powered, whether the web moves or not. */
  readonly driveEnabled: boolean
  readonly zones: Readonly<Record<string, ZoneState>>
}

/** The line as a pure function of parameters, programme, seed and steps. */
export class Machine {
  readonly parameters: MachineParameters
  readonly #programme: Programme
  readonly #ambient: Ambient
  readonly #speedWander: SlowWander
  readonly #zones: Readonly<Record<string, Zone>>
  #time = 0
  #mainsAngle = 0
  #parameterDriver: ParameterDriver | null = null
  #manual: ManualDrive | null = null
  #state: MachineState

  constructor(parameters: MachineParameters, programme: Programme, seed: number) {
    this.parameters = parameters
    this.#programme = programme
    this.#ambient = new Ambient(parameters.ambient, seed)
    const wander = new RandomStream(seed, 'speed')
    this.#speedWander = new SlowWander(wander, parameters.speedWanderTime)
    const { speed, setTension } = commandAt(programme, 0)
    const start = { speed, slack: false, mainsAngle: 0, driveEnabled: true, ...startOf(parameters) }
    this.#zones = mapValues(
      parameters.zones,
      (zone, id) => new Zone(id, zone, seed, { ...start, setTension: tensionOf(setTension, id) }),
    )
    this.#state = { time: 0, speed, ambient: start.ambient, driveEnabled: true, zones: {} }
    this.step(FIRST_STEP_S)
  }

  /** The newest instant. */
  get state(): MachineState {
    return this.#state
  }

  /** Takes the line out of its programme's hands: from now on it does what `command` says; null gives it back. */
  takeOver(command: ManualCommand | null): void {
    this.#manual = command === null ? null : (this.#manual ?? new ManualDrive(this.#commandNow()))
    if (command !== null) this.#manual?.take(command)
  }

  /** What the line is told by hand; null while its programme runs it. */
  get manual(): ManualCommand | null {
    return this.#manual?.told ?? null
  }

  /** What programme or hand asks for at this instant. */
  get command(): Command {
    return this.#manual?.command ?? this.#commandNow()
  }

  /** The way the standing web pulls on this zone's roller, N per newton of tension. Throws RangeError where there is no such zone. */
  resultant(zone: string): Vec2 {
    const found = this.#zones[zone]
    if (found === undefined) throw new RangeError(`there is no zone ${zone}`)
    return found.resultant
  }

  /** Lets something change parameters as time goes on: it is called before every step. Null ends it. */
  driveParameters(driver: ParameterDriver | null): void {
    this.#parameterDriver = driver
  }

  #commandNow(): Command {
    return commandAt(this.#programme, this.#time)
  }

  /** Takes up changed roller positions. Throws RangeError when a web cannot run that way. */
  refresh(): void {
    for (const zone of Object.values(this.#zones)) zone.refresh()
  }

  /** Moves on by `dt` seconds (positive). */
  step(dt: number): MachineState {
    this.#parameterDriver?.(this.#state, dt)
    const command = this.#manual?.step(dt) ?? this.#commandNow()
    this.#time += dt
    this.#mainsAngle = (this.#mainsAngle + 2 * Math.PI * this.parameters.mainsHz * dt) % (2 * Math.PI)
    const speed = command.speed * (1 + this.parameters.speedWander * this.#speedWander.step(dt))
    const ambient = this.#ambient.step(this.#time, dt)
    const driveEnabled = this.#manual?.told.driveEnabled ?? !command.slack
    const gravity = this.parameters.gravity ?? GRAVITY
    const around = { speed, slack: command.slack, ambient, mainsAngle: this.#mainsAngle, gravity, driveEnabled }
    const zones: Record<string, ZoneState> = {}
    for (const id in this.#zones) {
      const surroundings: Surroundings = { ...around, setTension: tensionOf(command.setTension, id) }
      zones[id] = (this.#zones[id] as Zone).step(surroundings, dt)
    }
    this.#state = { time: this.#time, speed, ambient, driveEnabled, zones }
    return this.#state
  }
}

/** The first step gives the first state; a start has no instant before it. */
const FIRST_STEP_S = 0.001

function startOf({ ambient, gravity = GRAVITY }: MachineParameters) {
  return { ambient: ambient.start, gravity }
}

function tensionOf(setTension: Readonly<Record<string, number>>, zone: string): number {
  const value = setTension[zone]
  if (value === undefined) throw new RangeError(`the programme sets no tension for zone ${zone}`)
  return value
}

function mapValues<A, B>(record: Readonly<Record<string, A>>, make: (value: A, key: string) => B): Record<string, B> {
  return Object.fromEntries(Object.entries(record).map(([key, value]) => [key, make(value, key)]))
}

import { Contact } from './contact.ts'
import { convert } from './converter.ts'
import { LowPass } from './filter.ts'
import { FlickerNoise, SlowWander, whiteNoise } from './noise.ts'
import { RandomStream } from './random.ts'

/** One load cell with its amplifier channel. Signals in mV/V. */
export interface CellParameters {
  /** Direction of the load arrow, rad ccw from +x. */
  arrow: number
  /** Rated capacity, N, and rated output at it, mV/V. */
  capacity: number
  ratedOutput: number
  /** Output without load, mV/V. */
  zeroBalance: number
  /** True sensitivity over rated sensitivity; 1 is as the certificate says. */
  gain: number
  /** Change of the zero, mV/V per K, and of the sensitivity, 1/K, from the reference temperature. */
  zeroPerKelvin: number
  spanPerKelvin: number
  referenceTemperature: number
  /** Own temperature above the hall's, K, and how slowly the cell follows it, s. */
  warmerBy: number
  thermalTime: number
  /** White noise, mV/V per √Hz, and 1/f noise, mV/V per decade of time. */
  whiteNoise: number
  flickerNoise: number
  /** Mains pickup before the filter: amplitude, mV/V, and phase, rad. */
  mainsPickup: number
  mainsPhase: number
  /** Low-pass filter of the amplifier: corner, Hz, and damping ratio. */
  filterHz: number
  filterDamping: number
  /** Range and step of the converter, mV/V. */
  rangeLow: number
  rangeHigh: number
  adcStep: number
  /** A lead of the bridge is open: the amplifier's input runs to the rail. */
  open: boolean
  /** 1 as drawn, -1 with the two signal leads exchanged. */
  polarity: number
  /** Resistance of the bridge across its excitation and across its signal leads, ohm. */
  inputResistance: number
  outputResistance: number
  /** Resistance from the bridge to body and shield, ohm. */
  insulation: number
  /** How often a bad contact in the cable breaks for a moment while the cable lies still, 1/s. */
  breaks: number
  /** What enabled drives put into the cable, mV/V per √Hz. */
  drivePickup: number
  /** What the amplifier gives out, V, and the share of it that four wires lose on the way (none with six). */
  excitation: number
  leadLoss: number
  /** The amplifier's own knobs: what it multiplies by and then adds, mV/V. */
  knobGain: number
  knobZero: number
  /** What a failing channel makes of its input; 1 as long as it is sound. */
  channelGain: number
  /** The converter stands: its last value for ever. */
  stuck: boolean
}

/** A sound 350 ohm cell, wired as drawn, on an amplifier that nobody has turned a knob of. */
export const SOUND_WIRING = {
  open: false,
  polarity: 1,
  inputResistance: 385,
  outputResistance: 351,
  insulation: 5e9,
  breaks: 0,
  drivePickup: 0,
  excitation: 5,
  leadLoss: 0,
  knobGain: 1,
  knobZero: 0,
  channelGain: 1,
  stuck: false,
} satisfies Partial<CellParameters>

/** From this insulation on nothing leaks that could be seen, ohm. */
const DRY_FROM = 1e9
/** How slowly a leak wanders, s. */
const LEAK_TIME_S = 90

/** Zero that a leak to the body moves, mV/V (1 σ): R/(4 R_i) of the excitation, one arm bridged by the leak. */
function leakOf({ outputResistance, insulation }: CellParameters): number {
  return insulation >= DRY_FROM ? 0 : (1000 * outputResistance) / (4 * insulation)
}

/** What the surroundings do to a cable in one step. */
export interface CableAround {
  readonly wiggled: boolean
  readonly driveEnabled: boolean
}

const QUIET: CableAround = { wiggled: false, driveEnabled: false }

/** What arrives at the end of a cell's cable. */
export interface BridgeSignal {
  /** mV/V */
  readonly signal: number
  readonly open: boolean
}

/** What one channel gives at one instant. */
export interface CellState {
  /** Force along the arrow, N: what the cell feels. */
  readonly force: number
  /** What the amplifier says, mV/V. */
  readonly output: number
  readonly saturated: boolean
  readonly open: boolean
}

/** How far beyond its range an open input pulls the amplifier. */
const RAIL_FACTOR = 2

/** Bridge output for a steady load: no noise, no filter, mV/V. */
export function bridgeOutput(cell: CellParameters, force: number, temperature: number): number {
  const kelvin = temperature - cell.referenceTemperature
  const sensitivity = ((cell.gain * cell.ratedOutput) / cell.capacity) * (1 + cell.spanPerKelvin * kelvin)
  return cell.zeroBalance + cell.zeroPerKelvin * kelvin + sensitivity * force
}

/** The chain from force to converter, with its memory: heat, noise and filter. */
export class CellChain {
  readonly #cell: CellParameters
  readonly #white: RandomStream
  readonly #flicker: FlickerNoise
  readonly #filter = new LowPass()
  readonly #drive: RandomStream
  readonly #leak: SlowWander
  readonly #contact: Contact
  #temperature: number
  #last: CellState | null = null

  /** Starts warm: in balance with the hall at `ambient` °C. */
  constructor(cell: CellParameters, seed: number, name: string, ambient: number) {
    this.#cell = cell
    this.#white = new RandomStream(seed, `${name}/white`)
    this.#flicker = new FlickerNoise(new RandomStream(seed, `${name}/flicker`))
    this.#drive = new RandomStream(seed, `${name}/drive`)
    this.#leak = new SlowWander(new RandomStream(seed, `${name}/leak`), LEAK_TIME_S)
    this.#contact = new Contact(new RandomStream(seed, `${name}/contact`))
    this.#temperature = ambient + cell.warmerBy
  }

  /** Temperature of the cell, °C. */
  get temperature(): number {
    return this.#temperature
  }

  /** One step of `dt` s with this force along the arrow (N), hall temperature (°C) and mains angle (rad). */
  step(force: number, ambient: number, mainsAngle: number, dt: number): CellState {
    return this.read(this.bridge(force, ambient, dt), force, mainsAngle, dt)
  }

  /** The cell and its cable for one step: what arrives at the amplifier. */
  bridge(force: number, ambient: number, dt: number, around: CableAround = QUIET): BridgeSignal {
    const cell = this.#cell
    this.#temperature += (ambient + cell.warmerBy - this.#temperature) * (1 - Math.exp(-dt / cell.thermalTime))
    const leak = leakOf(cell)
    // A leak is there all the time and wanders about its own size.
    const wet = leak === 0 ? 0 : leak * (1 + this.#leak.step(dt))
    const output = cell.polarity * (1 - cell.leadLoss) * (bridgeOutput(cell, force, this.#temperature) + wet)
    const drive = around.driveEnabled ? whiteNoise(this.#drive, cell.drivePickup, dt) : 0
    const broken = this.#contact.step(cell.breaks, around.wiggled, dt)
    return { signal: output + drive, open: cell.open || broken }
  }

  /** The amplifier's channel for one step, whichever cell is plugged into it. `force` is passed through. */
  read(bridge: BridgeSignal, force: number, mainsAngle: number, dt: number): CellState {
    const cell = this.#cell
    const noise = whiteNoise(this.#white, cell.whiteNoise, dt) + cell.flickerNoise * this.#flicker.step(dt)
    const pickup = cell.mainsPickup === 0 ? 0 : cell.mainsPickup * Math.sin(mainsAngle + cell.mainsPhase)
    const signal = cell.channelGain * cell.knobGain * (bridge.signal + noise + pickup) + cell.knobZero
    const input = bridge.open ? RAIL_FACTOR * cell.rangeHigh : signal
    const filtered = this.#filter.step(input, cell.filterHz, cell.filterDamping, dt)
    const { value, saturated } = convert(filtered, cell.rangeLow, cell.rangeHigh, cell.adcStep)
    if (cell.stuck && this.#last !== null) return { ...this.#last, force }
    this.#last = { force, output: value, saturated, open: bridge.open }
    return this.#last
  }
}

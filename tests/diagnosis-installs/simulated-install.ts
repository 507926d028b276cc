import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { parseConfig } from '../../gateway/config/load.ts'
import { ChannelStage } from '../../gateway/stages/channel-stage.ts'
import { finish } from '../../lib/spectrum/welch.ts'
import { type VerificationContext, verificationContext } from '../../lib/verification/context.ts'
import { captureFacts } from '../../lib/verification/evidence/capture-facts.ts'
import { captureSpectrum, SPECTRUM_FROM_S } from '../../lib/verification/evidence/capture-spectrum.ts'
import { linesOf } from '../../lib/verification/evidence/lines.ts'
import type { CapturedRows } from '../../lib/verification/evidence/rows.ts'
import { type MonotonicMs, monotonicMs } from '../../shared/brand.ts'
import { qualityByte } from '../../shared/quality.ts'
import type { Sample } from '../../shared/sample.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { ActiveFault } from '../../simulator/faults/active.ts'
import { Faults } from '../../simulator/faults/faults.ts'
import { Machine, type MachineParameters } from '../../simulator/physics/machine.ts'
import type { Scenario } from '../../simulator/scenarios/scenario.ts'
import type { RegisterField } from '../../simulator/servers/personalities.ts'
import type { Reading } from '../../simulator/technician/act.ts'
import { Technician } from '../../simulator/technician/technician.ts'
import { builtConfig, builtLine, type LineChange } from './changed-line.ts'
import { ROLLER_TURNS } from './roller-turns.ts'

/** How often a row is taken, s: not a multiple of half the mains' period, at which nobody could see it. */
const ROW_S = 0.011
/** Steps of the machine within a row: the mains must be seen as it is. */
const STEPS_A_ROW = 2
/** A wait of the machine goes by in long steps, its end in short ones, so that filters have settled as they always do, s. */
const WAIT_S = 0.2
/** Not a multiple of half the mains' period either. */
const WATCH_STEP_S = 0.25
const SETTLING_S = 3
const SETTLING_STEP_S = 0.01
const BEGIN_MS = Date.parse('2031-05-05T06:00:00Z')

export interface InstallOptions {
  readonly scenario: Scenario
  readonly seed: number
  readonly faults: readonly ActiveFault[]
  /** Noise, wander and ripple of the line times this. */
  readonly unrest: number
  readonly speedMMin: number
  readonly newtons: number
  /** The faults were there when the zero was taken; otherwise they came after. */
  readonly zeroTakenSince: boolean
  /** How the line is built otherwise than its scenario. */
  readonly change?: LineChange
}

type Where = 'running' | 'bare' | 'other'

/** A column of a zone's rows: the register it comes from and the stage that judges and scales it. */
interface Column {
  readonly role: string
  readonly field: RegisterField
  readonly isFloat: boolean
  readonly stage: ChannelStage
}

/** An install on a simulated line without wire or clock, under a technician's hands. Same options, same readings. */
export class SimulatedInstall {
  readonly options: InstallOptions
  context: VerificationContext
  readonly machine: Machine
  readonly #faults: Faults
  readonly #technician: Technician
  readonly #zone: string
  #columns: readonly Column[]
  #nowMs = BEGIN_MS
  #where: Where = 'other'
  #captures = 0

  constructor(options: InstallOptions) {
    const { scenario, seed, faults, unrest, change = {} } = options
    this.options = options
    const path = fileURLToPath(scenario.configFile)
    const { config: drawn, revision } = parseConfig(readFileSync(path, 'utf8'), path)
    const config = builtConfig(drawn, scenario, change)
    this.#zone = config.zones[0]?.id ?? ''
    this.context = verificationContext(config, this.#zone, revision)
    const sound = restless(builtLine(scenario, change), unrest)
    this.machine = new Machine(restless(builtLine(scenario, change), unrest), scenario.programme, seed)
    this.#faults = new Faults(this.machine, scenario.programme, seed)
    this.#technician = new Technician(this.machine, seed, { sound, pass: (_, seconds) => this.wait(seconds) })
    this.#columns = columnsOf(this.context, scenario, this.#zone)
    this.act('stop')
    // Moved neighbours and other arrows carry another part of the roller's weight: the zero of a drawn line is not theirs.
    if (change.neighbours !== undefined) this.#takeZero()
    for (const fault of faults) this.#faults.add({ ...fault, zone: this.#zone })
    if (options.zeroTakenSince) this.#takeZero()
  }

  /** As at the fitting: web off, the bare roller's reading becomes the zero of each side. */
  #takeZero(): void {
    this.bare()
    const { sides } = this.capture('zero', 10)
    const config = structuredClone(this.context.config)
    for (const [side, id] of Object.entries(this.context.zone.cells)) {
      const force = config.channels.find((channel) => channel.id === id)?.force
      const reading = sides[side as 'drive_side']?.electrical?.value
      if (force !== undefined && reading !== undefined) force.zero = reading
    }
    this.context = verificationContext(config, this.#zone, this.context.revision)
    this.#columns = columnsOf(this.context, this.options.scenario, this.#zone)
  }

  /** What the instruments of an act showed. Throws when it was refused. */
  act(act: string, args: Readonly<Record<string, unknown>> = {}): readonly Reading[] {
    const { refused, observation } = this.#technician.do(act, { ...args, zone: this.#zone })
    if (refused !== undefined) throw new Error(`${act}: ${refused.reason}`)
    return observation?.readings ?? []
  }

  /** The machine's time goes by. */
  wait(seconds: number): void {
    const settling = Math.min(seconds, SETTLING_S)
    this.#goOn(seconds - settling, WAIT_S)
    this.#goOn(settling, SETTLING_STEP_S)
    this.#nowMs += seconds * 1000
  }

  #goOn(seconds: number, step: number): void {
    const steps = Math.ceil(seconds / step)
    for (let i = 0; i < steps; i += 1) {
      this.machine.step(seconds / steps)
    }
  }

  running(speedMMin = this.options.speedMMin, newtons = this.options.newtons): void {
    if (this.#where === 'bare') {
      this.act('thread-web')
      this.act('close-guards')
      this.act('unlock')
    }
    // A tension that the fault has changed is not what is set anew.
    this.act('set-tension', { newtons })
    this.act('start', { speed_m_min: speedMMin })
    this.#where = 'running'
    this.wait(40)
  }

  /** Tension alone, at once: for a step that is watched. */
  setTension(newtons: number): void {
    const { manual } = this.machine
    if (manual !== null)
      this.machine.takeOver({ ...manual, setTension: { ...manual.setTension, [this.#zone]: newtons } })
  }

  /** Stopped, the drives let go: the web hangs slack, as between two products. */
  slacken(): void {
    const { manual } = this.machine
    if (manual !== null) this.machine.takeOver({ ...manual, speed: 0, slack: true })
  }

  /** Locked out, guards open, web off, the roller alone on the cells. */
  bare(): void {
    if (this.#where === 'bare') return
    for (const act of ['stop', 'lock-out', 'open-guards', 'take-web-off']) this.act(act)
    this.#where = 'bare'
  }

  /** Goes on for `seconds`, a sample of each role every `step`, without keeping them: for hours. */
  watch(
    seconds: number,
    step: number,
    told: (tMs: MonotonicMs, samples: Readonly<Record<string, Sample>>) => void,
  ): void {
    for (let i = 0; i < Math.round(seconds / step); i += 1) {
      this.#goOn(step, WATCH_STEP_S)
      this.#nowMs += step * 1000
      const tMs = monotonicMs(this.#nowMs)
      const read = this.#columns.map(({ role, stage, ...column }) => [role, stage.accept(tMs, 1, this.#rawOf(column))])
      told(tMs, Object.fromEntries(read))
    }
    // Filters have settled before samples are taken quickly again.
    this.#goOn(SETTLING_S, SETTLING_STEP_S)
    this.#nowMs += SETTLING_S * 1000
  }

  /** What a register holds now. */
  #rawOf({ field, isFloat }: Pick<Column, 'field' | 'isFloat'>): number {
    const zone = this.machine.state.zones[this.#zone]
    if (zone === undefined) throw new Error('the zone has gone')
    const read = field.read(zone, this.machine.state)
    return isFloat ? Math.fround(read) : read
  }

  get nowMs(): number {
    return this.#nowMs
  }

  /** Samples of `seconds`, as the gateway would have recorded them. `meanwhile` happens after `before` seconds. */
  capture(
    capture: string,
    seconds: number,
    values: Capture['values'] = {},
    meanwhile: { readonly before: number; readonly run: () => void } | null = null,
  ): Capture {
    const fromMs = this.#nowMs
    const count = Math.round(seconds / ROW_S)
    const at = meanwhile === null ? -1 : Math.round(meanwhile.before / ROW_S)
    const timesMs = new Float64Array(count)
    const rows = this.#columns.map(() => ({
      values: new Float64Array(count),
      raws: new Float64Array(count),
      codes: new Uint8Array(count),
    }))
    for (let i = 0; i < count; i += 1) {
      if (i === at) {
        const keptMs = this.#nowMs
        meanwhile?.run()
        this.#nowMs = keptMs
      }
      for (let n = 0; n < STEPS_A_ROW; n += 1) this.machine.step(ROW_S / STEPS_A_ROW)
      this.#nowMs += ROW_S * 1000
      timesMs[i] = this.#nowMs
      for (const [n, { stage, ...column }] of this.#columns.entries()) {
        const raw = this.#rawOf(column)
        const sample = stage.accept(monotonicMs(this.#nowMs), 1, raw)
        const row = rows[n]
        if (row === undefined) continue
        row.values[i] = sample.value ?? Number.NaN
        row.raws[i] = raw
        row.codes[i] = qualityByte(sample.code)
      }
    }
    const captured: CapturedRows = {
      revision: this.context.revision,
      columns: this.#columns.map(({ role }) => role),
      timesMs,
      values: rows.map((row) => row.values),
      raws: rows.map((row) => row.raws),
      codes: rows.map((row) => row.codes),
    }
    this.#captures += 1
    const key = `00000000-0000-4000-8000-${String(this.#captures).padStart(12, '0')}`
    const asked = { rateHz: 1 / ROW_S, seconds, toMs: this.#nowMs }
    const lines = seconds < SPECTRUM_FROM_S ? [] : linesOf(finish(captureSpectrum(this.context, captured, asked)))
    return captureFacts(this.context, { key, capture, fromMs, toMs: this.#nowMs, values }, captured, lines)
  }
}

function columnsOf({ zone, channels }: VerificationContext, scenario: Scenario, zoneId: string): Column[] {
  const ids: Readonly<Record<string, string | undefined>> = {
    ...zone.cells,
    speed: zone.speed,
    roller_speed: zone.roller_speed,
    reference: zone.reference,
    temperature: zone.temperature,
  }
  const drawn = scenario.devices.find((device) => device.zone === zoneId)?.personality.fields ?? []
  const fields = [...drawn, ROLLER_TURNS]
  return Object.entries(ids).flatMap(([role, id]) => {
    const channel = id === undefined ? undefined : channels.get(id)
    const field = fields.find(({ address }) => address === addressOf(channel))
    return channel === undefined || field === undefined
      ? []
      : [{ role, field, isFloat: field.type === 'float32', stage: new ChannelStage(channel) }]
  })
}

const addressOf = (channel: ChannelConfig | undefined): number | undefined => {
  const address = channel?.register?.address
  return typeof address === 'number' ? address : undefined
}

/** A line that is noisier or quieter than drawn. */
function restless(line: MachineParameters, unrest: number): MachineParameters {
  line.speedWander *= unrest
  for (const zone of Object.values(line.zones)) {
    zone.upstream.wander *= unrest
    zone.upstream.ripple *= unrest
    for (const cell of Object.values(zone.cells)) {
      cell.whiteNoise *= unrest
      cell.flickerNoise *= unrest
    }
  }
  return line
}

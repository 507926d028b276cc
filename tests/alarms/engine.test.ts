import { describe, expect, it } from 'vitest'
import { AlarmEngine } from '../../gateway/alarms/engine.ts'
import type { AlarmFacts } from '../../gateway/alarms/facts.ts'
import { type KeptStates, keptStates, NOTHING_KEPT, type StateKeeper } from '../../gateway/alarms/kept-states.ts'
import { exampleZoneNow } from '../../gateway/http/examples.ts'
import type { QualityCode } from '../../shared/quality.ts'
import { alarmList } from '../../shared/schemas/alarms.ts'
import { type ConfigInput, configSchema } from '../../shared/schemas/config.ts'
import type { NewEvent } from '../../shared/schemas/events.ts'
import type { Figure, VerdictState, ZoneNow } from '../../shared/schemas/now.ts'
import { madeHealth, madeNow } from '../browser/support/made-line.ts'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'

const NOW = 1_760_000_000_000
const atOnce = { on_delay_s: 0, off_delay_s: 0 }

class MemoryKeeper implements StateKeeper {
  kept: KeptStates = NOTHING_KEPT
  fails: string | null = null
  async load() {
    return keptStates.parse(JSON.parse(JSON.stringify(this.kept)))
  }
  async save(states: KeptStates) {
    if (this.fails !== null) throw new Error(this.fails)
    this.kept = states
  }
}

async function plant(alarms: object = {}, gatewayAlarms: object = {}, keeper = new MemoryKeeper()) {
  const base = twoCells(tcpDevice(1502))
  const config: ConfigInput = {
    ...base,
    zones: base.zones.map((zone) => ({ ...zone, alarms: { side_difference: atOnce, noise: atOnce, ...alarms } })),
    alarms: { device_lost: atOnce, ...gatewayAlarms },
  }
  const clock = { ms: NOW }
  const events: NewEvent[] = []
  const engine = new AlarmEngine({
    now: () => clock.ms,
    keeper,
    event: (event) => events.push(event),
    changed: () => {},
    log: () => {},
  })
  await engine.open(configSchema.parse(config))
  const state = (id: string) => engine.list().alarms.find((alarm) => alarm.id === id)
  return { engine, clock, events, keeper, state, config }
}

const judged = (figure: Figure, state: VerdictState, value: number): Figure => ({
  ...figure,
  value,
  U: 0.5,
  verdict: { ...figure.verdict, state },
})

/** The made line's two-sided zone under the name of the config, each part as a test wants it. */
function zone(
  parts: { imbalance?: [VerdictState, number]; noise?: [VerdictState, number]; code?: QualityCode } = {},
): ZoneNow {
  const made = madeNow(NOW, 60)[0] as ZoneNow
  if (!('drive_side' in made.sides) || made.imbalance === undefined) throw new Error('the made zone has two sides')
  const { drive_side: drive, operator_side: operator } = made.sides
  return {
    ...made,
    zone: 'infeed',
    imbalance: judged(made.imbalance, ...(parts.imbalance ?? (['inside', 1] as const))),
    sides: {
      drive_side: {
        ...drive,
        noise: judged(drive.noise, ...(parts.noise ?? (['inside', 0.2] as const))),
        live: { ...drive.live, code: parts.code ?? 'good' },
      },
      operator_side: operator,
    },
  }
}

const facts = (now: ZoneNow | null, more: Partial<AlarmFacts> = {}): AlarmFacts => ({
  zones: new Map(now === null ? [] : [[now.zone, now]]),
  devices: new Map(),
  overload: () => null,
  recording: { state: 'running', why: null },
  freeBytes: 50e9,
  ...more,
})

const IMBALANCE = 'infeed.side-difference'

describe('the alarms of a plant', () => {
  it('are each of the zone and of the gateway, and those that cannot be are off with the reason', async () => {
    const { engine } = await plant({ drift: { enabled: false } })
    const list = alarmList.parse(engine.list())
    expect(list.alarms.map(({ id }) => id).sort()).toEqual([
      'gateway.device-lost.amplifier',
      'gateway.disk-low',
      'gateway.recording-degraded',
      'gateway.recording-stopped',
      'infeed.noise.drive_side',
      'infeed.noise.operator_side',
      'infeed.over-capacity.drive_side',
      'infeed.over-capacity.operator_side',
      IMBALANCE,
      'infeed.side-lost.drive_side',
      'infeed.side-lost.operator_side',
    ])
    expect(list.off.map(({ id, why }) => `${id}: ${why}`)).toEqual([
      'infeed.agreement: the zone has no geometry that tells what to expect',
      'infeed.drift.side-difference: turned off in the config',
      'infeed.drift.residual: the zone has no geometry that tells what to expect',
    ])
  })

  it('keep what waits for the webhook over a stop, for the host it was meant for and no other', async () => {
    const at = (port: number) => ({ webhook: { url: `http://127.0.0.1:${port}/alarms?key=secret` } })
    const first = await plant({}, at(9))
    first.engine.look(facts(zone({ imbalance: ['outside', 14] })))
    await first.engine.close()
    const { undelivered } = first.keeper.kept
    const waited = undelivered?.messages.map((text) => JSON.parse(text).event.data.alarm) ?? []
    expect(waited).toContain(IMBALANCE)
    expect(JSON.stringify(undelivered)).not.toContain('secret')
    const keeper = () => Object.assign(new MemoryKeeper(), { kept: first.keeper.kept })
    const same = await plant({}, at(9), keeper())
    expect(same.engine.list().webhook?.waiting).toBe(waited.length)
    await same.engine.close()
    const other = await plant({}, at(10), keeper())
    expect(other.engine.list().webhook?.waiting).toBe(0)
    await other.engine.close()
  })

  it('say in the trail what was seen, against which limit, and how it stands', async () => {
    const { engine, events } = await plant()
    engine.look(facts(zone({ imbalance: ['outside', 14] })))
    const line = events.find(({ data }) => data.alarm === IMBALANCE && data.state === 'unacknowledged')
    expect(line).toMatchObject({ kind: 'alarm', zone: 'infeed', who: null })
    const said = events.filter(({ data }) => data.alarm === IMBALANCE).map(({ text }) => text)
    expect(said).toEqual([
      'Infeed: Side difference: there are data to judge it by.',
      'Infeed: Side difference outside its limit: 14.00 ± 0.50 %, limit ± 10 % (made for a test of the page). Inside the limit.',
    ])
    await engine.acknowledge(IMBALANCE, 'A. Fitter')
    expect(events.at(-1)).toMatchObject({
      who: 'A. Fitter',
      text: 'Infeed: Side difference outside its limit: acknowledged by A. Fitter.',
    })
  })

  it('mark which came first in a zone, also when it is over before the others', async () => {
    const { engine, clock, state } = await plant()
    engine.look(facts(zone({ noise: ['outside', 3] })))
    clock.ms += 250
    engine.look(facts(zone({ noise: ['outside', 3], imbalance: ['outside', 14] })))
    clock.ms += 250
    engine.look(facts(zone({ imbalance: ['outside', 14] })))
    await engine.acknowledge('infeed.noise.drive_side', 'A. Fitter')
    expect(state('infeed.noise.drive_side')).toMatchObject({ state: 'normal', firstOut: true, announced: null })
    expect(state(IMBALANCE)).toMatchObject({ firstOut: false })
  })

  it('count what called in 10 min for each operator position', async () => {
    const { engine, clock } = await plant({}, { operator_positions: 2 })
    for (let i = 0; i < 3; i++) {
      engine.look(facts(zone({ imbalance: ['outside', 14] })))
      clock.ms += 1000
      engine.look(facts(zone()))
      clock.ms += 1000
    }
    expect(engine.list().flood).toMatchObject({ announced: 3, perPosition: 1.5, level: 'manageable' })
    clock.ms += 600_000
    expect(engine.list().flood).toMatchObject({ announced: 0, level: 'acceptable' })
  })

  it('do not return within the deadband', async () => {
    const { engine, state } = await plant()
    engine.look(facts(zone({ imbalance: ['outside', 14] })))
    engine.look(facts(zone({ imbalance: ['inside', 9] })))
    expect(state(IMBALANCE)?.state).toBe('unacknowledged')
    engine.look(facts(zone({ imbalance: ['inside', 8.4] })))
    expect(state(IMBALANCE)?.state).toBe('returned')
  })

  it('become unknown one by one when a zone gives no picture any more', async () => {
    const { engine, clock } = await plant()
    engine.look(facts(zone()))
    clock.ms += 10_000
    engine.look(facts(null))
    const ofZone = engine.list().alarms.filter((alarm) => alarm.zone === 'infeed')
    expect(new Set(ofZone.map(({ state }) => state))).toEqual(new Set(['unknown']))
    expect(engine.list().counts.unknown).toBeGreaterThanOrEqual(ofZone.length)
  })

  it('look for good data on each side, and leave an overload to its own alarm', async () => {
    const { engine, clock, state } = await plant({ side_lost: atOnce, over_capacity: atOnce })
    const [lost, over] = ['infeed.side-lost.drive_side', 'infeed.over-capacity.drive_side']
    engine.look(facts(zone({ code: 'wire-break' })))
    expect([state(lost)?.state, state(over)?.state]).toEqual(['unacknowledged', 'unknown'])
    expect(state(lost)?.now?.sentence).toBe('No good data: the signal is as low as with a broken wire.')
    clock.ms += 250
    engine.look(facts(zone({ code: 'over-capacity' })))
    expect([state(lost)?.state, state(over)?.state]).toEqual(['returned', 'unacknowledged'])
  })

  it('see an overload that came and went between two looks', async () => {
    const { engine, state } = await plant({ over_capacity: atOnce })
    engine.look(facts(zone(), { overload: (_, side) => (side === 'drive_side' ? 1200 : null) }))
    expect(state('infeed.over-capacity.drive_side')).toMatchObject({
      state: 'unacknowledged',
      announced: { value: 1200, limit: 1000 },
    })
    expect(state('infeed.over-capacity.operator_side')?.state).toBe('normal')
  })

  it('tell a lost device, a recording that does not run, and a full disk; a device that starts tells nothing', async () => {
    const { engine, state } = await plant({}, { disk_low: atOnce, disk_low_below_gb: 2 })
    const device = madeHealth(NOW, 60, 1).devices[0]
    if (device === undefined) throw new Error('the made line has a device')
    const look = (more: Partial<AlarmFacts>) => engine.look(facts(zone(), more))
    look({ devices: new Map([['amplifier', { ...device, state: 'starting' }]]) })
    expect(state('gateway.device-lost.amplifier')?.state).toBe('unknown')
    look({ devices: new Map([['amplifier', { ...device, state: 'answering' }]]) })
    expect(state('gateway.device-lost.amplifier')?.state).toBe('normal')
    look({
      devices: new Map([['amplifier', { ...device, state: 'lost' }]]),
      recording: { state: 'stopped', why: 'The disk is full.' },
      freeBytes: 1e9,
    })
    expect(state('gateway.device-lost.amplifier')?.state).toBe('unacknowledged')
    expect(state('gateway.recording-stopped')).toMatchObject({
      state: 'unacknowledged',
      now: { sentence: 'The disk is full.' },
    })
    expect(state('gateway.recording-degraded')?.state).toBe('normal')
    expect(state('gateway.disk-low')).toMatchObject({
      state: 'unacknowledged',
      now: { value: 1, limit: 2, unit: 'GB' },
    })
  })

  it('never say that every sample is recorded again while nothing is', async () => {
    const { engine, state, events } = await plant({}, { recording_degraded: atOnce, recording_stopped: atOnce })
    const ID = 'gateway.recording-degraded'
    const look = (recording: AlarmFacts['recording']) => engine.look(facts(zone(), { recording }))
    look({ state: 'running', why: null })
    look({ state: 'roll-ups-only', why: 'The disk is nearly full.' })
    expect(state(ID)?.state).toBe('unacknowledged')
    look({ state: 'stopped', why: 'The disk is full.' })
    expect(state('gateway.recording-stopped')?.state).toBe('unacknowledged')
    expect(state(ID)?.state).toBe('unacknowledged')
    expect(events.map(({ text }) => text)).not.toContainEqual(expect.stringContaining('no longer'))
    look({ state: 'running', why: null })
    expect([state(ID)?.state, state('gateway.recording-stopped')?.state]).toEqual(['returned', 'returned'])
  })

  it('take up after a restart what people did, and what was active', async () => {
    const first = await plant()
    first.engine.look(facts(zone({ imbalance: ['outside', 14] })))
    await first.engine.acknowledge(IMBALANCE, 'A. Fitter')
    await first.engine.shelve('infeed.noise.drive_side', { who: 'A. Fitter', reason: 'threading', minutes: 5 })
    await first.engine.close()
    const again = await plant({}, {}, first.keeper)
    expect(again.state(IMBALANCE)).toMatchObject({ state: 'acknowledged', announced: { value: 14 } })
    expect(again.state('infeed.noise.drive_side')?.shelved).toMatchObject({ reason: 'threading' })
    expect(again.engine.list().flood.announced).toBe(1)
  })

  it('that leave the config and come back go on where they were', async () => {
    const { engine, state, config } = await plant()
    engine.look(facts(zone({ imbalance: ['outside', 14] })))
    await engine.acknowledge(IMBALANCE, 'A. Fitter')
    const [only] = config.zones
    const off = { ...config, zones: [{ ...only, alarms: { side_difference: { enabled: false } } }] }
    engine.configure(configSchema.parse(off))
    expect(state(IMBALANCE)).toBeUndefined()
    await expect(engine.acknowledge(IMBALANCE, 'A. Fitter')).rejects.toThrow('turned off in the config')
    engine.configure(configSchema.parse(config))
    expect(state(IMBALANCE)).toMatchObject({ state: 'acknowledged' })
  })

  it('say when what people did cannot be kept, go on, and keep it when it can', async () => {
    const { engine, keeper, state } = await plant()
    engine.look(facts(zone({ imbalance: ['outside', 14] })))
    keeper.fails = 'the disk is full'
    expect(await engine.acknowledge(IMBALANCE, 'A. Fitter')).toMatchObject({ state: 'acknowledged' })
    expect(engine.list().notKept).toBe('the disk is full')
    keeper.fails = null
    await engine.shelve(IMBALANCE, { who: 'A. Fitter', reason: 'threading', minutes: 5 })
    expect(engine.list().notKept).toBeNull()
    expect(keeper.kept.alarms[IMBALANCE]?.memory).toMatchObject({ acknowledgedBy: { who: 'A. Fitter' } })
    expect(state(IMBALANCE)?.state).toBe('shelved')
  })

  it('of a zone with one cell have no side difference', async () => {
    const base = twoCells(tcpDevice(1502))
    const engine = new AlarmEngine({
      now: () => NOW,
      keeper: new MemoryKeeper(),
      event: () => {},
      changed: () => {},
      log: () => {},
    })
    const { cell_distance_m: _, ...one } = base.zones[0] ?? { id: 'x', cells: { single: 'ds' } }
    await engine.open(configSchema.parse({ ...base, zones: [{ ...one, cells: { single: 'ds' } }] }))
    engine.look(facts({ ...exampleZoneNow, zone: 'infeed' }))
    const ids = [...engine.list().alarms, ...engine.list().off].map(({ id }) => id)
    expect(ids.filter((id) => id.includes('side-difference'))).toEqual([])
    expect(ids).toContain('infeed.noise.single')
  })
})

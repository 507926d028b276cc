import { readFileSync } from 'node:fs'
import { afterEach, describe, expect, it } from 'vitest'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { tcpDevice, twoCells } from './support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { missing, titled } from './support/installed.ts'
import { startLibmodbusServer, startPymodbusServer } from './support/peers.ts'
import { ptyPair } from './support/pty.ts'

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})
function keep<T extends { stop(): Promise<unknown> }>(started: T): T {
  ends.push(() => started.stop())
  return started
}

/** Newest forces along the arrows, operator side last. */
function forces(now: ZoneNow): (number | null)[] {
  if ('single' in now.sides) return [now.sides.single.live.value]
  return [now.sides.drive_side.live.value, now.sides.operator_side.live.value]
}
const codes = (now: ZoneNow) =>
  'single' in now.sides
    ? [now.sides.single.live.code]
    : [now.sides.drive_side.live.code, now.sides.operator_side.live.code]
const figuresOf = async (gateway: GatewayProcess) =>
  untilAnswer(
    () => gateway.now('infeed'),
    (now) => now.total.value !== null,
  )

// By hand: (12 mA − 4 mA) × 31.25 N/mA = 250 N; (12.8 − 4) × 31.25 = 275 N; 25/525 = 4.7619 %; × 0.8 m = 38.095 mm.
const REGISTERS = { 0: 12_000, 1: 12_800 }

describe('the gateway as a process, fed by servers that others wrote', () => {
  const noLibmodbus = missing('gcc', 'libmodbus')
  it.skipIf(noLibmodbus !== null)(
    titled('gives the forces, side difference and line of pull of a libmodbus TCP server', noLibmodbus),
    async () => {
      const server = keep(await startLibmodbusServer({ mode: 'tcp', values: REGISTERS }))
      const gateway = keep(await startGatewayProcess(twoCells(tcpDevice(server.port))))
      const now = await figuresOf(gateway)
      expect(forces(now)).toEqual([250, 275])
      expect(now.total.value).toBeCloseTo(525, 9)
      expect(now.imbalance?.value).toBeCloseTo((25 / 525) * 100, 9)
      expect(now.lineOfPull?.value).toBeCloseTo((25 / 525) * 0.8, 9)
      expect(now.imbalance?.verdict.state).toBe('inside')
    },
  )

  it.skipIf(noLibmodbus !== null)(titled('gives the same over RTU, through a pty pair', noLibmodbus), async () => {
    const line = await ptyPair()
    ends.push(() => line.remove())
    keep(await startLibmodbusServer({ mode: 'rtu', path: line.a, values: REGISTERS }))
    const device = {
      id: 'amplifier',
      transport: 'modbus-rtu' as const,
      path: line.b,
      baud: 115_200,
      parity: 'none' as const,
    }
    const gateway = keep(await startGatewayProcess(twoCells({ ...device, rate_hz: 20 })))
    expect(forces(await figuresOf(gateway))).toEqual([250, 275])
  })

  const noPymodbus = missing('pymodbus')
  it.skipIf(noPymodbus !== null)(titled('gives the same from a pymodbus server', noPymodbus), async () => {
    const server = keep(await startPymodbusServer({ values: REGISTERS }))
    const gateway = keep(await startGatewayProcess(twoCells(tcpDevice(server.port))))
    expect(forces(await figuresOf(gateway))).toEqual([250, 275])
  })

  it.skipIf(noLibmodbus !== null)(
    titled('calls 3.5 mA a broken wire and gives no number for that side, nor a total or difference', noLibmodbus),
    async () => {
      const server = keep(await startLibmodbusServer({ mode: 'tcp', values: REGISTERS }))
      const gateway = keep(await startGatewayProcess(twoCells(tcpDevice(server.port))))
      await figuresOf(gateway)
      await server.set(1, 3500)
      const broken = await untilAnswer(
        () => gateway.now('infeed'),
        (now) => codes(now)[1] === 'wire-break',
      )
      expect(forces(broken)).toEqual([250, null])
      const settled = await untilAnswer(
        () => gateway.now('infeed'),
        (now) => now.total.value === null,
      )
      expect(settled.imbalance?.value).toBeNull()
      expect(settled.imbalance?.verdict.state).toBe('unknown')
      await server.set(1, 12_800)
      const healed = await untilAnswer(
        () => gateway.now('infeed'),
        (now) => now.imbalance?.value != null,
      )
      expect(forces(healed)).toEqual([250, 275])
    },
  )

  it.skipIf(noLibmodbus !== null)(
    titled('has no number left when the device is gone, and heals when it returns', noLibmodbus),
    async () => {
      const server = await startLibmodbusServer({ mode: 'tcp', values: REGISTERS })
      const gateway = keep(await startGatewayProcess(twoCells(tcpDevice(server.port))))
      await figuresOf(gateway)
      await server.stop()
      const gone = await untilAnswer(
        () => gateway.now('infeed'),
        (now) => forces(now).every((f) => f === null) && now.total.value === null,
      )
      expect(gone.imbalance?.verdict.state).toBe('unknown')
      expect(gone.steady.state).not.toBe('steady')
      await untilAnswer(
        () => gateway.health(),
        (health) => health.devices[0]?.state === 'lost' && health.status === 'lost',
      )
      keep(await startLibmodbusServer({ mode: 'tcp', port: server.port, values: { 0: 14_000, 1: 14_000 } }))
      const back = await untilAnswer(
        () => gateway.now('infeed'),
        (now) => now.total.value !== null,
      )
      expect(forces(back)).toEqual([312.5, 312.5])
      expect(back.total.value, 'nothing from before the loss is averaged in').toBeCloseTo(625, 6)
    },
  )
})

describe('the first connection of the README', () => {
  const noLibmodbus = missing('gcc', 'libmodbus')
  it.skipIf(noLibmodbus !== null)(
    titled('gives the figures it promises, and heals the broken wire it shows', noLibmodbus),
    async () => {
      const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8')
      const config = (/```yaml first-connection\n([\s\S]*?)```/.exec(readme)?.[1] ?? '').replace(/^ {3}/gm, '')
      const [, registers = ''] = /amplifier tcp 1502 1 16 (\S+ \S+)/.exec(readme) ?? []
      const values = Object.fromEntries(registers.split(' ').map((pair) => pair.split('=').map(Number)))
      const server = keep(await startLibmodbusServer({ mode: 'tcp', registers: 16, values }))
      const gateway = keep(await startGatewayProcess(config.replace('1502', String(server.port))))
      const now = await figuresOf(gateway)
      expect(forces(now)).toEqual([250, 275])
      expect(now.imbalance?.value).toBeCloseTo(4.76, 2)
      await server.set(1, 3500)
      await untilAnswer(
        () => gateway.now('infeed'),
        (broken) => codes(broken)[1] === 'wire-break' && forces(broken)[1] === null,
      )
      await server.set(1, 12_800)
      await untilAnswer(
        () => gateway.now('infeed'),
        (healed) => forces(healed)[1] === 275,
      )
    },
  )
})

describe('a config that changes while the gateway runs', () => {
  const noLibmodbus = missing('gcc', 'libmodbus')
  it.skipIf(noLibmodbus !== null)(
    titled('refuses a bad edit with its place and keeps the old one running; applies a good one', noLibmodbus),
    async () => {
      const server = keep(await startLibmodbusServer({ mode: 'tcp', values: REGISTERS }))
      const config = twoCells(tcpDevice(server.port))
      const gateway = keep(await startGatewayProcess(config))
      await figuresOf(gateway)
      const before = await gateway.health()
      gateway.write(JSON.stringify(config).replace('"gain":31.25', '"gian":31.25'))
      const refused = await untilAnswer(
        () => gateway.health(),
        (h) => h.config.refused !== null,
      )
      expect(refused.config.revision).toBe(before.config.revision)
      expect(refused.config.refused?.errors[0]).toMatchObject({ place: { line: 1 } })
      expect(refused.config.refused?.errors[0]?.message).toContain('gain')
      expect(forces(await gateway.now('infeed'))).toEqual([250, 275])

      const doubled = structuredClone(config)
      for (const channel of doubled.channels) if (channel.force) channel.force.gain = 62.5
      gateway.write(doubled)
      const applied = await untilAnswer(
        () => gateway.now('infeed'),
        (now) => forces(now)[0] === 500,
      )
      expect(forces(applied)).toEqual([500, 550])
      expect((await gateway.health()).config.refused).toBeNull()
    },
  )

  it('is taken over where the command line binds to loopback what the file would open', async () => {
    const open = { ...twoCells(tcpDevice(1)), gateway: { host: '0.0.0.0' } }
    const gateway = keep(await startGatewayProcess(open, 0, () => {}, ['--host', '127.0.0.1']))
    const before = await gateway.health()
    gateway.write({ ...open, line: 'Line 3' })
    const after = await untilAnswer(
      () => gateway.health(),
      (health) => health.config.refused !== null || health.config.revision !== before.config.revision,
    )
    expect(after.config.refused).toBeNull()
    expect(after.config.revision).not.toBe(before.config.revision)
  })
})

describe('stopping', () => {
  it('ends with exit code 0 on SIGTERM, even while its device does not answer', async () => {
    const gateway = await startGatewayProcess(twoCells(tcpDevice(9)))
    await untilAnswer(
      () => gateway.health(),
      (h) => h.devices[0]?.state === 'lost',
    )
    expect(await gateway.stop()).toBe(0)
  })
})

import ModbusRTU from 'modbus-serial'
import { afterAll, describe, expect, it } from 'vitest'
import { readMonotonic } from '../../gateway/clock.ts'
import { createModbusTransport } from '../../gateway/transports/modbus/modbus-transport.ts'
import type { PolledTransport } from '../../gateway/transports/transport.ts'
import { EvenpullError } from '../../shared/errors.ts'
import { missing, titled } from './support/installed.ts'
import { MisbehavingServer, registerValue } from './support/misbehaving-server.ts'
import { type Line, type Misbehaviour, SCENARIO_TIMEOUT_MS } from './support/misbehaviour.ts'
import { MISBEHAVIOURS } from './support/misbehaviours.ts'
import { readOf, rtuDevice, rtuOverTcpDevice, tcpDevice } from './support/modbus-devices.ts'
import { ptyToTcp } from './support/pty.ts'

/** A link that is well again must give right values within this time. */
const HEALS_WITHIN_MS = 2000
const ADDRESS = 16
const COUNT = 4
/** Whole and right, and only too late: told apart by its transaction id. */
const MERELY_LATE = 'answer 40 ms after the timeout'

interface Outcome {
  right: number
  wrong: number
  readonly codes: Map<string, number>
  healedMs: number
}

const table: Record<string, string | number>[] = []

async function openLine(line: Line) {
  const server = await new MisbehavingServer(line === 'TCP' ? 'tcp' : 'rtu').listen()
  const bridge = line === 'RTU' ? await ptyToTcp(server.port) : null
  const device =
    bridge !== null
      ? rtuDevice(bridge.path, SCENARIO_TIMEOUT_MS)
      : (line === 'TCP' ? tcpDevice : rtuOverTcpDevice)(server.port, SCENARIO_TIMEOUT_MS)
  const transport = createModbusTransport(device)
  const shut = async () => {
    await transport.close()
    await server.vanish()
    await bridge?.remove()
  }
  return { server, transport, shut }
}

/** One read, judged against the newest request the server has seen: any other answer is a wrong value. */
async function readAndJudge(transport: PolledTransport, server: MisbehavingServer, outcome: Outcome) {
  try {
    const { words } = await transport.read(readOf(ADDRESS, COUNT))
    const n = server.newest?.n ?? 0
    const expected = Array.from({ length: COUNT }, (_, i) => registerValue(ADDRESS + i, n))
    const isRight = words.length === COUNT && words.every((word, i) => word === expected[i])
    if (isRight) outcome.right++
    else outcome.wrong++
    return isRight
  } catch (error) {
    const code = error instanceof EvenpullError ? error.code : `untyped: ${String(error)}`
    outcome.codes.set(code, (outcome.codes.get(code) ?? 0) + 1)
    return false
  }
}

async function untilRight(transport: PolledTransport, server: MisbehavingServer, times: number, outcome: Outcome) {
  const begin = readMonotonic()
  let healedMs = Number.POSITIVE_INFINITY
  for (let inRow = 0; inRow < times && readMonotonic() - begin < 4 * HEALS_WITHIN_MS; ) {
    const isRight = await readAndJudge(transport, server, outcome)
    if (isRight && inRow === 0) healedMs = readMonotonic() - begin
    inRow = isRight ? inRow + 1 : 0
    if (inRow === times) return healedMs
  }
  return Number.POSITIVE_INFINITY
}

const nothingYet = (): Outcome => ({ right: 0, wrong: 0, codes: new Map(), healedMs: 0 })

async function play(misbehaviour: Misbehaviour, line: Line) {
  const { server, transport, shut } = await openLine(line)
  try {
    if (misbehaviour.well !== undefined) server.normally(misbehaviour.well)
    const before = nothingYet()
    await untilRight(transport, server, 5, before)
    const meanwhile = nothingYet()
    server.misbehave(misbehaviour.times, misbehaviour.behave())
    const begin = readMonotonic()
    while (!server.isWell && readMonotonic() - begin < 20_000) await readAndJudge(transport, server, meanwhile)
    const after = nothingYet()
    after.healedMs = await untilRight(transport, server, 10, after)
    return { before, meanwhile, after, counters: transport.counters, isWell: server.isWell }
  } finally {
    await shut()
  }
}

const reasonNoPty = missing('socat')

for (const line of ['TCP', 'RTU over TCP', 'RTU'] as const) {
  const reason = line === 'RTU' ? reasonNoPty : null
  describe.skipIf(reason !== null)(titled(`a misbehaving device on Modbus ${line}`, reason), () => {
    for (const misbehaviour of MISBEHAVIOURS.filter((m) => m.lines.includes(line))) {
      it(`${misbehaviour.name}: no wrong value, ${misbehaviour.meanwhile} meanwhile, right again after`, async () => {
        const { before, meanwhile, after, counters, isWell } = await play(misbehaviour, line)
        table.push({
          line,
          misbehaviour: misbehaviour.name,
          right: meanwhile.right,
          errors: [...meanwhile.codes].map(([code, n]) => `${code.slice(4)} ${n}`).join(', '),
          wrong: before.wrong + meanwhile.wrong + after.wrong,
          'heals (ms)': Math.round(after.healedMs),
          violations: counters.violations,
          late: counters.lateAnswers,
          reconnects: counters.reconnects,
        })
        expect(isWell, 'the server got to misbehave as often as planned').toBe(true)
        expect(before.wrong + meanwhile.wrong + after.wrong, 'wrong values').toBe(0)
        expect(after.healedMs).toBeLessThan(HEALS_WITHIN_MS)
        if (misbehaviour.meanwhile === 'error') {
          expect(meanwhile.right).toBe(0)
          expect(meanwhile.codes.size).toBeGreaterThan(0)
        }
        if (misbehaviour.name === MERELY_LATE && line === 'TCP') {
          expect(counters.lateAnswers, 'late answers').toBeGreaterThan(0)
          expect(counters.violations, 'a late answer breaks nothing').toBe(0)
        }
        if (misbehaviour.meanwhile === 'right') expect(meanwhile.codes).toEqual(new Map())
        const allowed = misbehaviour.codes ?? []
        for (const code of [...meanwhile.codes.keys(), ...after.codes.keys()]) expect(allowed).toContain(code)
      })
    }
  })
}

/** The library without the guards, to show that these scenarios do find wrong values. */
async function unguarded(line: 'TCP' | 'RTU over TCP', port: number): Promise<PolledTransport> {
  const client = new ModbusRTU()
  client.on('error', () => {})
  await (line === 'TCP' ? client.connectTCP('127.0.0.1', { port }) : client.connectTelnet('127.0.0.1', { port }))
  client.setTimeout(SCENARIO_TIMEOUT_MS)
  return {
    counters: { violations: 0, lateAnswers: 0, reconnects: 0 },
    read: async ({ address, count }) => {
      const { data } = await client.readInputRegisters(address ?? 0, count)
      return { words: data, tMs: readMonotonic(), halfWidthMs: 0 }
    },
    close: () => new Promise((resolve) => client.destroy(() => resolve())),
  }
}

describe('the same scenarios without the guards', () => {
  for (const [line, name] of [
    ['RTU over TCP', 'answer 40 ms after the timeout'],
    ['RTU over TCP', 'answer doubled early into the next request'],
    ['RTU over TCP', 'late answer 30 ms before the right one'],
  ] as const) {
    it(`${name}, ${line}: wrong values are found, so the scenarios can fail`, async () => {
      const misbehaviour = MISBEHAVIOURS.find((m) => m.name === name && m.lines.includes(line))
      if (misbehaviour === undefined) throw new Error(`no misbehaviour is called ${name}`)
      const server = await new MisbehavingServer('rtu').listen()
      if (misbehaviour.well !== undefined) server.normally(misbehaviour.well)
      const transport = await unguarded(line, server.port)
      const outcome = nothingYet()
      server.misbehave(misbehaviour.times, misbehaviour.behave())
      for (let i = 0; i < misbehaviour.times + 10; i++) await readAndJudge(transport, server, outcome)
      await transport.close()
      await server.vanish()
      expect(outcome.wrong).toBeGreaterThan(0)
    })
  }
})

afterAll(() => {
  console.table(table)
  console.log(`${table.length} misbehaviours, ${table.filter((row) => row.wrong !== 0).length} with a wrong value`)
})

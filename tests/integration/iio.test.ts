import { execFileSync } from 'node:child_process'
import { chmod, mkdir, mkdtemp, rename, rm, symlink, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { planRequests } from '../../gateway/poller/plan.ts'
import { startPolling } from '../../gateway/poller/polling.ts'
import type { PlannedRequest } from '../../gateway/poller/types.ts'
import { iioAttributes } from '../../gateway/transports/iio/attributes.ts'
import { IioTransport } from '../../gateway/transports/iio/iio-transport.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { RawReading } from '../../shared/sample.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import { until } from './recording-server.ts'

let root: string
const opened: IioTransport[] = []

beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), 'evenpull-iio-'))
})
afterEach(async () => {
  await Promise.all(opened.splice(0).map((transport) => transport.close()))
  await rm(root, { recursive: true, force: true })
})

async function tree(files: Record<string, string>, device = 'iio:device0'): Promise<void> {
  await mkdir(join(root, device), { recursive: true })
  for (const [name, text] of Object.entries(files)) await writeFile(join(root, device, name), text)
}

function transport(device = 'iio:device0'): IioTransport {
  const made = new IioTransport({ id: 'adc', transport: 'iio', rate_hz: 10, root, device })
  opened.push(made)
  return made
}

function inputs(...sources: string[]): PlannedRequest {
  const items = sources.map((source, offset) => ({ channelId: source, offset, words: 1 as const, source }))
  return { unitId: null, function: null, address: null, count: items.length, items }
}

async function refusal(work: Promise<unknown>): Promise<EvenpullError> {
  const error = await work.then(
    () => null,
    (e: unknown) => e,
  )
  if (error instanceof EvenpullError) return error
  throw new Error(`expected an EvenpullError, got ${String(error)}`)
}

describe('values', () => {
  // Rule and units: Linux kernel, Documentation/ABI/testing/sysfs-bus-iio: offset "to be added to
  // <type>[Y]_raw prior to scaling", then millivolts (in_voltageY_raw) or milliamps (in_currentY_raw).
  // The figures follow from the rule by hand: (1000 + 24) × 1.25 mV = 1280 mV; (3200 − 100) × 0.004 mA = 12.4 mA.
  test('a voltage is (raw + offset) × scale in millivolts, handed over in V', async () => {
    await tree({ name: 'adc\n', in_voltage0_raw: '1000\n', in_voltage0_offset: '24\n', in_voltage0_scale: '1.25\n' })
    const answer = await transport().read(inputs('voltage0'))
    expect(answer.words).toEqual([1.28])
    expect(answer.problems).toBeUndefined()
  })

  test('a current is (raw + offset) × scale in milliamps, handed over in mA', async () => {
    await tree({ name: 'adc', in_current1_raw: '3200', in_current1_offset: '-100', in_current1_scale: '0.004000000' })
    const [value] = (await transport().read(inputs('current1'))).words
    expect(value).toBeCloseTo(12.4, 12)
  })

  test('a shared scale and offset serve every input, and an own one goes before them', async () => {
    await tree({
      name: 'adc',
      in_voltage0_raw: '100',
      in_voltage1_raw: '100',
      in_voltage_scale: '10',
      in_voltage_offset: '1',
      in_voltage1_scale: '20',
      in_voltage1_offset: '-50',
    })
    expect((await transport().read(inputs('voltage0', 'voltage1'))).words).toEqual([1.01, 1])
  })

  test('a differential input takes in_voltage-voltage_scale before in_voltage_scale, and may be negative', async () => {
    await tree({
      name: 'adc',
      'in_voltage0-voltage1_raw': '-4000',
      'in_voltage-voltage_scale': '0.25',
      in_voltage_scale: '99',
    })
    expect((await transport().read(inputs('voltage0-voltage1'))).words).toEqual([-1])
  })

  test('the time is the middle of the reads and half their width on the monotonic clock', async () => {
    await tree({ name: 'adc', in_voltage0_raw: '1', in_voltage_scale: '1' })
    const before = Number(process.hrtime.bigint()) / 1e6
    const { tMs, halfWidthMs } = await transport().read(inputs('voltage0'))
    const after = Number(process.hrtime.bigint()) / 1e6
    expect(tMs - halfWidthMs).toBeGreaterThanOrEqual(before)
    expect(tMs + halfWidthMs).toBeLessThanOrEqual(after)
  })

  test('a range changed by another program counts from the next read on', async () => {
    await tree({ name: 'adc', in_voltage0_raw: '1000', in_voltage_scale: '1' })
    const line = transport()
    expect((await line.read(inputs('voltage0'))).words).toEqual([1])
    await tree({ in_voltage_scale: '0.5' })
    expect((await line.read(inputs('voltage0'))).words).toEqual([0.5])
  })

  test('the name file of the converter is told with the place once it was read', async () => {
    await tree({ name: 'adc-12\n', in_voltage0_raw: '1', in_voltage_scale: '1' })
    const line = transport()
    expect(line.where()).toBe(join(root, 'iio:device0'))
    await line.read(inputs('voltage0'))
    expect(line.where()).toBe(`${join(root, 'iio:device0')} (adc-12)`)
  })

  test('a device folder may be a link, as it is in /sys', async () => {
    await tree({ name: 'adc', in_voltage0_raw: '1000', in_voltage_scale: '1' }, 'chip')
    await symlink(join(root, 'chip'), join(root, 'iio:device0'))
    expect((await transport().read(inputs('voltage0'))).words).toEqual([1])
  })
})

describe('refusals', () => {
  const good = { name: 'adc', in_voltage0_raw: '1000', in_voltage_scale: '1' }

  test('a raw file that is missing is named', async () => {
    await tree(good)
    const error = await refusal(transport().read(inputs('voltage3')))
    expect(error.code).toBe('EVP_IIO_READ')
    expect(error.message).toContain('there is no in_voltage3_raw')
  })

  test('a missing scale is an error, never a scale of 1', async () => {
    await tree({ name: 'adc', in_voltage0_raw: '1000' })
    const error = await refusal(transport().read(inputs('voltage0')))
    expect(error.message).toContain('there is no in_voltage0_scale nor in_voltage_scale')
  })

  test.each(['', 'abc', '12 34', '0x10', '1,5', 'NaN', 'Infinity', '1e999'])(
    'a raw file that holds %j is no number',
    async (text) => {
      await tree({ ...good, in_voltage0_raw: text })
      const error = await refusal(transport().read(inputs('voltage0')))
      expect(error.code).toBe('EVP_IIO_READ')
      expect(error.message).toContain('expected a number')
    },
  )

  test('one input that fails is null with its reason; the others keep their values', async () => {
    await tree({ ...good, in_voltage1_raw: 'broken' })
    const answer = await transport().read(inputs('voltage0', 'voltage1'))
    expect(answer.words).toEqual([1, null])
    expect(answer.problems?.map((problem) => problem.code)).toEqual(['EVP_IIO_READ'])
    expect(answer.problems?.[0]?.message).toContain('in_voltage1_raw')
  })

  test('a folder in the place of a file cannot be read', async () => {
    await tree({ name: 'adc', in_voltage_scale: '1' })
    await mkdir(join(root, 'iio:device0', 'in_voltage0_raw'))
    expect((await refusal(transport().read(inputs('voltage0')))).message).toContain('it is a folder')
  })

  test.skipIf(process.getuid?.() === 0)('a file this user may not read is named so', async () => {
    await tree(good)
    await chmod(join(root, 'iio:device0', 'in_voltage0_raw'), 0)
    expect((await refusal(transport().read(inputs('voltage0')))).message).toContain('may not read')
  })

  test('a pipe in the place of a file does not hang the line', async () => {
    await tree({ name: 'adc', in_voltage_scale: '1' })
    execFileSync('mkfifo', [join(root, 'iio:device0', 'in_voltage0_raw')])
    expect((await refusal(transport().read(inputs('voltage0')))).code).toBe('EVP_IIO_READ')
  })

  test('a device that vanishes is told as gone, and answers again when it is back', async () => {
    await tree(good)
    const line = transport()
    await line.read(inputs('voltage0'))
    await rename(join(root, 'iio:device0'), join(root, 'away'))
    expect((await refusal(line.read(inputs('voltage0')))).message).toContain('no IIO device is there')
    await rename(join(root, 'away'), join(root, 'iio:device0'))
    expect((await line.read(inputs('voltage0'))).words).toEqual([1])
  })

  test.each(['../iio:device0', '..', '.', 'a/b', 'a\\b', 'a\0b'])('the device name %j is refused', async (device) => {
    await tree(good)
    const error = await refusal(transport(device).read(inputs('voltage0')))
    expect(error.message).toContain('must be the name of one folder')
  })

  test.each([
    '../../etc/passwd',
    'voltage0/../x',
    'voltage',
    'temp0',
    'voltage0-current1',
    'voltage0-voltage1-voltage2',
    '',
  ])('the channel name %j is refused', (channel) => {
    expect(() => iioAttributes(channel)).toThrow(EvenpullError)
  })

  test('after close nothing is read any more', async () => {
    await tree(good)
    const line = transport()
    await line.close()
    expect((await refusal(line.read(inputs('voltage0')))).code).toBe('EVP_DEVICE_CLOSED')
  })
})

describe('through the polling thread', () => {
  test('both inputs of a zone come in one reading, and health names the converter', async () => {
    await tree({ name: 'adc-12', in_current0_raw: '1000', in_current1_raw: '3000', in_current_scale: '0.004' })
    const readings: RawReading[] = []
    let health: DeviceHealth | undefined
    const polling = startPolling({
      readings: (batch) => readings.push(...batch),
      health: ([device]) => {
        health = device
      },
      failed: (error) => {
        throw error
      },
    })
    try {
      polling.apply(
        planRequests(
          configSchema.parse({
            version: 1,
            devices: [{ id: 'adc', transport: 'iio', root, device: 'iio:device0', rate_hz: 50 }],
            channels: [0, 1].map((n) => ({ id: `c${n}`, device: 'adc', iio_channel: `current${n}` })),
            zones: [{ id: 'z', cells: { drive_side: 'c0', operator_side: 'c1' } }],
          }),
        ),
      )
      await until('answering', () => health?.state === 'answering')
      expect(readings[0]).toMatchObject({ kind: 'answer', deviceId: 'adc', request: 0, words: [4, 12] })
      expect(health?.where).toBe(`${join(root, 'iio:device0')} (adc-12)`)
      await rm(join(root, 'iio:device0'), { recursive: true })
      await until('lost', () => health?.state === 'lost')
      expect(readings.at(-1)).toMatchObject({ kind: 'gap', code: 'device-error', errorCode: 'EVP_IIO_READ' })
    } finally {
      await polling.stop()
    }
  })
})

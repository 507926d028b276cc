import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { configJsonSchema } from '../../gateway/config/json-schema.ts'
import { loadConfig, parseConfig } from '../../gateway/config/load.ts'
import { SCHEMA_FILE, schemaText } from '../../gateway/config/write-schema.ts'
import { edited, TWO_SIDES } from './support.ts'

describe('a config that is right', () => {
  test('comes with its defaults and a revision that sha256sum gives too', async () => {
    const path = new URL('./fixtures/two-sides.yaml', import.meta.url).pathname
    const { config, revision } = await loadConfig(path)
    expect(config.gateway).toEqual({
      host: '127.0.0.1',
      port: 8420,
      session: { idle_minutes: 480, longest_hours: 168 },
    })
    expect(config.devices[0]).toMatchObject({ id: 'amp', rate_hz: 100, timeout_ms: 250, merge_gap: 4 })
    expect(config.zones[0]?.limits.noise_percent).toEqual({ value: 1, source: 'common practice, no source' })
    expect(revision).toBe(createHash('sha256').update(readFileSync(path)).digest('hex').slice(0, 12))
  })

  test('may leave the function to 40001 notation, which means holding registers', () => {
    const { config } = parseConfig(edited('address: "30005"', 'address: "40005"'), 'line.yaml')
    expect(config.channels[2]?.register).toMatchObject({ address: '40005', function: 3 })
  })

  test('may name unit 0 on Modbus TCP, where it means the server itself', () => {
    const { config } = parseConfig(edited('address: 2', 'unit_id: 0, address: 2'), 'line.yaml')
    expect(config.channels[1]?.register?.unit_id).toBe(0)
  })

  test.each(['127.0.0.1', '127.3.2.1', '::1', '0:0:0:0:0:0:0:1', 'localhost', 'LOCALHOST'])(
    'may bind to %s',
    (host) => {
      const text = edited('plant: Example plant', `gateway: { host: "${host}" }`)
      expect(parseConfig(text, 'line.yaml').config.gateway.host).toBe(host)
    },
  )

  test('may repeat a value by an anchor', () => {
    const drive = 'electrical: { unit: mV/V }\n    force: { unit: N, zero: 0.042'
    const operator = 'electrical: { unit: mV/V }\n    force: { unit: N, zero: -0.031'
    const anchored = edited(drive, drive.replace('{ unit: mV/V }', '&amp { unit: mV/V }'))
    const { config } = parseConfig(edited(operator, operator.replace('{ unit: mV/V }', '*amp'), anchored), 'line.yaml')
    expect(config.channels[1]?.electrical).toEqual(config.channels[0]?.electrical)
  })

  test('may have CRLF line ends', () => {
    const { config } = parseConfig(TWO_SIDES.replaceAll('\n', '\r\n'), 'line.yaml')
    expect(config.zones).toHaveLength(1)
  })
})

describe('the JSON Schema for editors', () => {
  test('is the one the code would write: run gateway/config/write-schema.ts when this fails', () => {
    expect(readFileSync(SCHEMA_FILE, 'utf8')).toBe(schemaText())
  })

  test('asks for what a file has to say, not for what has a default', () => {
    const schema = configJsonSchema()
    expect(schema.required).toEqual(['version', 'devices', 'channels', 'zones'])
    expect(schema.$schema).toContain('draft-07')
  })
})

import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { alarmsBody, bodyText, deviceBody, eventBody, payloadOf, zoneBody } from '../../gateway/forward/message.ts'
import { MESSAGE_SCHEMA_FILE, messageSchemaText } from '../../gateway/forward/write-schema.ts'
import { exampleAlarms } from '../../gateway/http/alarm-examples.ts'
import { exampleHealth, exampleZoneNow } from '../../gateway/http/examples.ts'
import { forwardMessage } from '../../shared/schemas/forward.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { madeNow } from '../browser/support/made-line.ts'
import { absent, runPython, titled } from '../http/support/python-peer.ts'
import { madeEvent } from './support/memory-store.ts'

const place = { plant: 'Example mill', line: null }
const head = { queue: 'q', seq: 7 }
const [device] = exampleHealth.devices
const zones = [exampleZoneNow, ...madeNow(1_760_000_000_000, 60)]

const status = {
  kind: 'status' as const,
  ...place,
  timeMs: null,
  state: 'lost' as const,
  sentence: 'The connection broke.',
  gateway: '0.1.0',
  connectedMs: 1,
  queued: null,
  dropped: 0,
}
const payloads = () => [
  ...zones.map((now) => payloadOf(bodyText(zoneBody(now, 'Name', 'abc', place)), head)),
  payloadOf(bodyText(deviceBody(device as NonNullable<typeof device>, 5, place)), { ...head, validUntilMs: 9 }),
  payloadOf(bodyText(eventBody(madeEvent(3), place)), head),
  payloadOf(bodyText(alarmsBody(exampleAlarms, place)), { queue: null, seq: null, validUntilMs: 9 }),
  payloadOf(bodyText(status), { queue: null, seq: null }),
]

describe('what is sent on', () => {
  it('is what the schema says, and nothing beside it', () => {
    for (const payload of payloads()) expect(forwardMessage.parse(JSON.parse(payload))).toEqual(JSON.parse(payload))
  })

  it('is published as a JSON Schema that is up to date', () => {
    expect(readFileSync(MESSAGE_SCHEMA_FILE, 'utf8')).toBe(messageSchemaText())
  })

  const reason = absent('jsonschema')
  it.skipIf(reason !== null)(
    titled('fits that JSON Schema by an independent validator, and a wrong one does not', reason),
    () => {
      const program = `
import json, sys
from jsonschema import Draft7Validator
schema, messages = json.load(sys.stdin)
Draft7Validator.check_schema(schema)
print(json.dumps([Draft7Validator(schema).is_valid(m) for m in messages]))`
      const right = payloads().map((payload) => JSON.parse(payload))
      const wrong = [{ ...right[0], seq: 'seven' }, { ...right[0], total: { ...right[0].total, value: '525' } }, {}]
      expect(runPython(program, [JSON.parse(messageSchemaText()), [...right, ...wrong]])).toEqual([
        ...right.map(() => true),
        ...wrong.map(() => false),
      ])
    },
  )

  it('has no number for a bad sample, whatever its channel read, and says why a figure has none', () => {
    const side = 'single' in exampleZoneNow.sides ? exampleZoneNow.sides.single : null
    if (side === null) throw new Error('the example has one cell')
    const dark: ZoneNow = {
      ...exampleZoneNow,
      sides: { single: { ...side, live: { ...side.live, value: 412, U: 4, code: 'wire-break' } } },
    }
    const body = zoneBody(dark, 'Name', 'abc', place)
    if (!('single' in body.sides)) throw new Error('one cell')
    const { live, noise } = body.sides.single
    expect(live).toEqual({ channel: 'cell-1', value: null, unit: 'N', code: 'wire-break', timeMs: live.timeMs })
    expect(noise).toMatchObject({ value: null, U: null, waiting: 'Waits for samples.', verdict: { state: 'unknown' } })
  })

  it('lists every alarm that is not normal and counts those that are', () => {
    const normal = { ...exampleAlarms.alarms[0], id: 'a', state: 'normal' } as (typeof exampleAlarms.alarms)[number]
    const body = alarmsBody({ ...exampleAlarms, alarms: [...exampleAlarms.alarms, normal] }, place)
    const standing = exampleAlarms.alarms.filter(({ state }) => state !== 'normal')
    expect(body.alarms).toEqual(standing)
    expect(body.counts.normal).toBe(exampleAlarms.alarms.length - standing.length + 1)
  })
})

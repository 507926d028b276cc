import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import type { ConfigInput } from '../../shared/schemas/config.ts'
import { type ShiftAnalysis, shiftAnalysis } from '../../shared/schemas/shift.ts'
import { normal } from '../statistics/noise-sources.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

const MINUTES = 45
const RATE_HZ = 5

/** 45 min of two sides of 100 N each at a steady speed; the operator side grows by 4 N an hour: 2 points of side difference. */
function recording(): string {
  const noise = normal(3)
  const rows = Array.from({ length: MINUTES * 60 * RATE_HZ }, (_, i) => {
    const t = i / RATE_HZ
    const [drive, operator] = [100 + 0.5 * noise(), 100 + (4 * t) / 3600 + 0.5 * noise()]
    return `${t.toFixed(1)},${drive.toFixed(3)},${operator.toFixed(3)},${(5 + 0.001 * noise()).toFixed(4)}`
  })
  return `time,drive_side,operator_side,speed\n${rows.join('\n')}\n`
}

function config(recorder: boolean): ConfigInput {
  const cell = (id: string, column: string) => ({
    id,
    device: 'recording',
    column,
    force: { unit: 'N' as const, zero: 0, gain: 1, capacity: 500 },
  })
  return {
    version: 1,
    recorder: { enabled: recorder },
    devices: [{ id: 'recording', transport: 'replay', file: 'shift.csv', speed: 'max', rate_hz: RATE_HZ }],
    channels: [
      cell('ds', 'drive_side'),
      cell('os', 'operator_side'),
      { id: 'v', device: 'recording', column: 'speed', measures: 'speed', scale: { unit: 'm/s' } },
    ],
    zones: [{ id: 'infeed', cells: { drive_side: 'ds', operator_side: 'os' }, speed: 'v', cell_distance_m: 1.6 }],
  }
}

async function played(recorder: boolean): Promise<GatewayProcess> {
  const gateway = await startGatewayProcess(config(recorder), 0, (folder) =>
    writeFileSync(join(folder, 'shift.csv'), recording()),
  )
  ends.push(() => gateway.stop())
  return gateway
}

const stretch = (around: number) => `from=${Math.floor(around - 3_600_000)}&to=${Math.floor(around + 7_200_000)}`

describe('what has moved over a recording that is played, from the samples to the answer', () => {
  for (const recorder of [true, false])
    it(`${recorder ? 'recorded' : 'not recorded, from memory, and says so'}: a drift of the side difference of 2 points an hour`, async () => {
      const gateway = await played(recorder)
      const path = `/api/zones/infeed/shift?${stretch(Date.now())}`
      const shift = await untilAnswer(
        () => gateway.get<ShiftAnalysis>(path),
        ({ minutes }) => minutes?.judged >= MINUTES - 3,
        50_000,
      )
      expect(shiftAnalysis.parse(shift)).toEqual(shift)
      expect(shift.source).toBe(recorder ? 'recorder' : 'memory')
      if (!recorder) expect(shift.sourceSentence).toMatch(/^From the memory of the gateway: recording is off/)
      expect(shift.steadiness).toBe('steady')
      const side = shift.drifts.find(({ quantity }) => quantity === 'side_difference')
      // By hand: d/dt of (o − d)/(o + d) = 4/200 an hour, less the little that the sum grows.
      expect(side?.low).toBeLessThan(1.97)
      expect(side?.high).toBeGreaterThan(1.97)
      expect(side?.rate.verdict.state).toBe('outside')
    })
})

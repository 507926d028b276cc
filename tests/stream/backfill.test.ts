import { expect, test } from 'vitest'
import { backfillStream } from '../../gateway/stream/backfill.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import { qualityByte } from '../../shared/quality.ts'
import type { ZoneFrame } from '../../shared/sample.ts'
import { plantWith } from '../statistics/plant.ts'

const EPOCH = 1_760_000_000_000
const NOW = 600_000

test('what the store hands back stands in frames as it came: both sides of an instant, with the speed of that instant', async () => {
  const config = plantWith({ speed: 'speed' })
  const clock = { now: () => monotonicMs(NOW), toEpoch: (t: number) => epochMs(t + EPOCH) }
  const [good, missing] = [qualityByte('good'), qualityByte('missing')]
  const columns = (['drive_side', 'operator_side', 'speed'] as const).map((role) => ({ role, unit: 'N' }))
  const values = [
    [100, 101],
    [110, Number.NaN],
    [5, 6],
  ].map((column) => Float64Array.from(column))
  const codes = [
    [good, good],
    [good, missing],
    [good, good],
  ].map((column) => Uint8Array.from(column))
  const timesMs = Float64Array.from([EPOCH + 1000, EPOCH + 1010])
  const frames: ZoneFrame[] = []
  await backfillStream({
    config,
    clock,
    recorder: {
      samples: async function* () {
        yield { timesMs, columns, raws: values, values, codes } as never
      },
    },
    frame: (_, frame) => frames.push(frame),
  })
  const told = frames.map(({ tMs, sides, aux }) => [
    tMs,
    sides.drive_side?.value,
    sides.operator_side?.value,
    aux.speed?.value,
  ])
  expect(told).toEqual([
    [1000, 100, 110, 5],
    [1010, 101, undefined, 6],
  ])
})

import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { SampleBlock } from '../../../gateway/recorder/read-samples.ts'
import { scalesOf } from '../../../gateway/recorder/scales-of-config.ts'
import type { StoreReader } from '../../../gateway/recorder/store-reader.ts'
import { StoreWriter } from '../../../gateway/recorder/store-writer.ts'
import type { NamedColumn, WriterOptions } from '../../../gateway/recorder/writer-facts.ts'
import { ticksOf } from '../../../lib/store-codec/times.ts'
import { type Config, configSchema } from '../../../shared/schemas/config.ts'

/** A folder that is gone when `using` it ends. */
export function madeFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'evenpull-store-'))
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) }
}

/** Two cells of 16-bit counts: 1 count is 1/8 N, so that no scaling rounds; and a speed in m/min. */
export function madeConfig(gain = 1): Config {
  const cell = (id: string, address: number) => ({
    id,
    device: 'amp',
    register: { address, type: 'int16' },
    electrical: { unit: 'V' },
    force: { unit: 'N', zero: 4000, gain: 0.125 * gain, capacity: 2000 },
    quality: { signal: 'none' },
  })
  const speed = { id: 'v', device: 'amp', measures: 'speed', register: { address: 2 }, scale: { unit: 'm/min' } }
  return configSchema.parse({
    version: 1,
    devices: [{ id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1', rate_hz: 100 }],
    channels: [cell('ds', 0), cell('os', 1), speed],
    zones: [{ id: 'z', cells: { drive_side: 'ds', operator_side: 'os' }, speed: 'v' }],
  })
}

/** The limits of a config that says nothing. */
export const KEEP = madeConfig().recorder.keep

/** Between two samples of the process that is killed. */
export const STEP_MS = 10

export const START_MS = Date.UTC(2026, 0, 1)

export function openWriter(path: string, options: Partial<WriterOptions> = {}): StoreWriter {
  const writer = new StoreWriter({
    path,
    minFreeBytes: 0,
    keep: KEEP,
    nowMs: START_MS,
    freeBytes: () => 1e12,
    ...options,
  })
  writer.configure('aaaaaaaaaaaa', START_MS, scalesOf(madeConfig()))
  return writer
}

export const countsOf = (newtons: number) => 4000 + 8 * newtons

/** A column of samples every `stepMs` from `fromMs`; null is a gap. */
export function madeColumn(
  channel: string,
  fromMs: number,
  stepMs: number,
  raws: readonly (number | null)[],
  codes: readonly number[] = raws.map((raw) => (raw === null ? 3 : 0)),
): NamedColumn {
  return {
    channel,
    ticks: Float64Array.from(raws, (_, i) => ticksOf(fromMs + i * stepMs)),
    raws: Float64Array.from(raws, (raw) => raw ?? Number.NaN),
    codes: Uint8Array.from(codes),
  }
}

/** Every block of the zone in a range. */
export function readAll(reader: StoreReader, fromMs: number, toMs: number): SampleBlock[] {
  const blocks: SampleBlock[] = []
  for (let from: number | null = ticksOf(fromMs); from !== null; ) {
    const page = reader.samplePage('z', from, ticksOf(toMs))
    if (page === undefined) throw new Error('no zone')
    if (page.block !== null) blocks.push(page.block)
    from = page.nextTick
  }
  return blocks
}

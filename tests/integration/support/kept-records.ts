import { createHash, randomUUID } from 'node:crypto'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { stringify } from 'yaml'
import { type LoadedConfig, parseConfig } from '../../../gateway/config/load.ts'
import type { Database } from '../../../gateway/recorder/driver.ts'
import { settingsOf } from '../../../gateway/recorder/settings.ts'
import { StoreRecorder } from '../../../gateway/recorder/store-recorder.ts'
import { VerificationDesk, type VerificationDeskOptions } from '../../../gateway/verification/verification-desk.ts'
import type { Config } from '../../../shared/schemas/config.ts'
import type { CaptureAsk } from '../../../shared/schemas/verification/capture.ts'
import type { NewEntry } from '../../../shared/schemas/verification.ts'
import { countsOf, madeColumn, madeConfig, openWriter, START_MS } from '../../recorder/support/made-store.ts'

export const WHO = 'A. Fitter'
export const DAY_MS = 86_400_000
export const noonOf = (day: number) => START_MS + (day + 0.5) * DAY_MS
/** Of each day, 100 samples a second. */
export const SECONDS = 20
export const REVISION = 'aaaaaaaaaaaa'
export const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')

export interface Kept {
  readonly configPath: string
  readonly storePath: string
  readonly recorder: StoreRecorder
  readonly desk: VerificationDesk
  /** A desk of its own over the same store. */
  deskWith(options: Partial<VerificationDeskOptions>): VerificationDesk
}

export const cleanups: (() => Promise<void> | void)[] = []
export const cleanUp = async () => {
  for (const cleanup of cleanups.splice(0).reverse()) await cleanup()
}

/** Six days in a store. */
export function madeStore(): { configPath: string; storePath: string } {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-verification-'))
  cleanups.push(() => rmSync(folder, { recursive: true, force: true }))
  const configPath = join(folder, 'line.yaml')
  writeFileSync(configPath, stringify(madeConfig()))
  const { path: storePath } = settingsOf(madeConfig(), configPath)
  mkdirSync(dirname(storePath), { recursive: true })
  const writer = openWriter(storePath)
  for (let day = 0; day < 6; day += 1) {
    const raws = Array.from({ length: 100 * SECONDS }, (_, i) => countsOf(100 + 10 * day) + (i % 5))
    writer.samples(['ds', 'os'].map((channel) => madeColumn(channel, noonOf(day), 10, raws)))
    writer.seal()
  }
  writer.close()
  return { configPath, storePath }
}

export const loadedOf = (config: Config, revision: string): LoadedConfig => ({
  ...parseConfig(stringify(madeConfig()), 'line.yaml'),
  config,
  revision,
})

/** A desk over a store, in which it is the evening of the last day. */
export async function opened(store = madeStore()): Promise<Kept> {
  const nowMs = () => noonOf(5) + DAY_MS / 4
  const loaded = loadedOf(madeConfig(), REVISION)
  const recorder = await StoreRecorder.open({ configPath: store.configPath, wallMs: nowMs, log: () => {} }, loaded)
  cleanups.push(() => recorder.close())
  const deskWith = (options: Partial<VerificationDeskOptions>) =>
    new VerificationDesk({
      recorder,
      loaded: () => loaded,
      shift: async () => undefined,
      version: '0.0.0',
      nowMs,
      monotonicMs: () => 0,
      wait: async () => {},
      ...options,
    })
  return { ...store, recorder, desk: deskWith({}), deskWith }
}

export const begun = async (at: VerificationDesk) =>
  (await at.begin('z', { key: randomUUID(), who: WHO, title: 'A record' })).head.id
export const note = (text: string): NewEntry => ({ kind: 'note', key: randomUUID(), who: WHO, test: null, text })
export const captureOn = (day: number, seconds = SECONDS): CaptureAsk => ({
  key: randomUUID(),
  capture: 'still',
  fromMs: noonOf(day),
  toMs: noonOf(day) + 1000 * seconds,
  values: {},
})
export const resultOn = (day: number): NewEntry => ({
  kind: 'result',
  key: randomUUID(),
  who: WHO,
  test: 'electric.channels',
  phase: 'as-left',
  values: {},
  captures: [captureOn(day)],
})
export const PNG = Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), Buffer.alloc(64, 7)])
export const photo = (picture = PNG): NewEntry => ({
  kind: 'photo',
  key: randomUUID(),
  who: WHO,
  test: null,
  caption: 'Dial',
  mediaType: 'image/png',
  data: picture.toString('base64'),
})

/** Does something to the file behind everybody's back. */
export function inStore<T>({ storePath }: Kept, act: (db: Database) => T): T {
  const db = new DatabaseSync(storePath, { timeout: 5000 })
  try {
    return act(db)
  } finally {
    db.close()
  }
}

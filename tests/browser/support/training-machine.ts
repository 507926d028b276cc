import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Page } from 'playwright-core'
import {
  INSTRUCTOR_KEY_HEADER,
  type InstructorChange,
  type InstructorView,
  type SetExercise,
} from '../../../shared/schemas/training.ts'
import { patientFetch } from '../../integration/support/patient-fetch.ts'
import { start, untilPrinted } from '../../integration/support/processes.ts'

const EVENPULL = fileURLToPath(new URL('../../../gateway/cli/evenpull.mjs', import.meta.url))

/** The training machine as a user starts it: simulator, desk, gateway and page, and its instructor beside the page. */
export interface TrainingMachine {
  readonly address: string
  readonly key: string
  /** What the instructor sees. */
  look(): Promise<InstructorView>
  /** Begins an exercise; rejects with the refusal. */
  set(exercise: SetExercise): Promise<InstructorView>
  change(change: InstructorChange): Promise<InstructorView>
  stop(): Promise<void>
}

export async function startTrainingMachine(): Promise<TrainingMachine> {
  const folder = mkdtempSync(join(tmpdir(), 'evenpull-training-'))
  const words = [EVENPULL, 'simulate', '--training', '--config', join(folder, 'line.yaml'), '--port', '0', '--json']
  const child = start(process.execPath, words)
  const exited = new Promise((resolve) => child.once('exit', resolve))
  const [line] = await untilPrinted(child, /\{.*"instructorKey".*\}/)
  const { address, instructorKey } = JSON.parse(line) as { address: string; instructorKey: string }
  const ask = async (path: string, body?: unknown): Promise<InstructorView> => {
    const headers = { [INSTRUCTOR_KEY_HEADER]: instructorKey, 'content-type': 'application/json' }
    const sent = body === undefined ? {} : { method: 'POST', body: JSON.stringify(body) }
    const response = await patientFetch(`${address}/api/training/instructor${path}`, { headers, ...sent })
    const text = await response.text()
    if (!response.ok) throw new Error(`${path}: HTTP ${response.status} ${text}`)
    return JSON.parse(text) as InstructorView
  }
  return {
    address,
    key: instructorKey,
    look: () => ask(''),
    set: (exercise) => ask('/exercise', exercise),
    change: (change) => ask('/changes', change),
    stop: async () => {
      child.kill('SIGTERM')
      await exited
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

/** A trainee at the desk. */
export class Trainee {
  readonly page: Page

  constructor(page: Page) {
    this.page = page
  }

  /** Opens the form of an act. */
  async open(doing: string, act: string): Promise<void> {
    await this.page.getByTestId(`doing-${doing}`).check()
    const row = this.page.getByTestId(`act-${act}`)
    if ((await row.getAttribute('aria-expanded')) === 'false') await row.click()
  }

  /** Does what is open; resolves to whether it was refused. */
  async doIt(): Promise<boolean> {
    const deeds = this.page.locator('[data-testid^="deed-"]')
    const before = await deeds.count()
    await this.page.getByTestId('do').click()
    await this.page.getByTestId(`deed-${before + 1}`).waitFor({ timeout: 60_000 })
    return (await this.page.getByTestId(`deed-${before + 1}`).getAttribute('data-refused')) === 'true'
  }

  /** Does an act that has nothing to say with it, or a side alone. */
  async act(doing: string, act: string, side?: 'drive side' | 'operator side'): Promise<boolean> {
    await this.open(doing, act)
    if (side !== undefined) await this.page.getByTestId('field-side').getByRole('radio', { name: side }).check()
    return this.doIt()
  }

  /** Stopped, locked out, guards open. */
  async makeSafe(): Promise<void> {
    for (const act of ['stop', 'lock-out', 'open-guards']) await this.act('safe', act)
  }
}

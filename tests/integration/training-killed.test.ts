import { appendFileSync, existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import type { TrainingExercise } from '../../shared/schemas/training.ts'
import { descendantsOf, isAlive } from './support/process-tree.ts'
import { until } from './support/processes.ts'
import { madeFolder, removed, startTrainingProcess, type TrainingProcess } from './support/training.ts'

let folder: string
beforeEach(() => {
  folder = madeFolder()
})
afterEach(() => removed(folder))

async function killed(run: TrainingProcess): Promise<void> {
  const below = descendantsOf(run.pid)
  for (const pid of below) process.kill(pid, 'SIGKILL')
  await run.stop('SIGKILL')
  await until('everything is gone', () => !below.some(isAlive))
}

test('what was handed in is kept when everything is killed at once, and its debrief is worked out after the restart', {
  timeout: 400_000,
}, async () => {
  const name = 'Zoë “=1+1” Ωμ'
  const first = await startTrainingProcess(folder)
  const begun = await first.post('/api/training/exercise', { trainee: name, lesson: 'path' })
  const [zone] = begun.body.zones
  const answer = {
    exercise: begun.body.id,
    findings: [{ cause: 'other-path', side: null, zone, remedy: 'rethread-as-drawn' }],
    note: '',
  }
  expect((await first.post('/api/training/exercise/answer', answer)).status).toBe(200)
  // Answered: on the disk. Killed before its debrief is ready.
  await killed(first)

  const second = await startTrainingProcess(folder)
  const progress = await second.get(`/api/training/progress?trainee=${encodeURIComponent(name)}`)
  expect(progress.body.results).toMatchObject([{ exercise: begun.body.id, trainee: name, points: null }])
  const debrief = await second.debrief(begun.body.id)
  expect(debrief.score).toMatchObject({ points: 8, most: 8 })
  const after = await second.get(`/api/training/progress?trainee=${encodeURIComponent(name)}`)
  expect(after.body).toMatchObject({ lessonsDone: ['path'], results: [{ points: 8, found: true }] })
  const csv = await second.instructor.get('/api/training/instructor/results?format=csv')
  expect(csv.text).toContain('"Zoë “=1+1” Ωμ"'.replaceAll('"', ''))
  expect(await second.stop()).toBe(0)
})

const ZONE = 'laminator-outfeed'

/** What a trainee has of it, without how far the machine's time is. */
const worked = ({ machineSeconds: _, takenUp: __, ...rest }: TrainingExercise) => rest

test('an open exercise is taken up again as it was: deeds, refusals, hints, faults, seed, and what the instructor changed', {
  timeout: 400_000,
}, async () => {
  const first = await startTrainingProcess(folder)
  const fault = (id: string, severity: number) =>
    ({ fault: id, zone: ZONE, side: 'drive_side', severity, onset: { kind: 'constant' } }) as const
  const set = { trainee: 'Zoë', line: 'install', faults: [fault('gain-one-side', 12.5), fault('arrow-reversed', 1)] }
  const { exercise } = (await first.instructor.post('/api/training/instructor/exercise', set)).body
  const doing = async (run: TrainingProcess, act: string, args: object = {}) =>
    (await run.post('/api/training/exercise/acts', { exercise: exercise.id, act, zone: ZONE, args })).body
  const change = (run: TrainingProcess, body: object) =>
    run.instructor.post('/api/training/instructor/changes', { exercise: exercise.id, ...body })
  // Refused as unsafe, refused otherwise, done.
  await doing(first, 'measure-arrow', { side: 'drive_side' })
  await doing(first, 'lock-out')
  await doing(first, 'open-guards')
  await doing(first, 'measure-arrow', { side: 'drive_side' })
  await change(first, { do: 'put-in', fault: fault('open-bridge', 1) })
  await doing(first, 'turn-arrow', { side: 'drive_side', to_deg: 90 })
  await doing(first, 'replace-cable', { side: 'drive_side' })
  await doing(first, 'start', { speed_m_min: 60 })
  const before = (await first.get('/api/training/exercise')).body.exercise as TrainingExercise
  const hidden = (await first.instructor.get('/api/training/instructor')).body
  const killedMs = Date.now()
  await killed(first)

  const second = await startTrainingProcess(folder)
  const after = (await second.get('/api/training/exercise')).body.exercise as TrainingExercise
  expect(worked(after)).toEqual(worked(before))
  expect(after.deeds.map(({ refused }) => refused?.unsafe ?? null)).toEqual([true, null, null, null, null, null, false])
  expect(after.machineSeconds).toBeGreaterThanOrEqual(before.deeds.at(-1)?.atSeconds ?? Number.NaN)
  const [taken, ...more] = after.takenUp
  expect(more).toEqual([])
  expect(taken?.lastMs).toBeGreaterThanOrEqual(before.deeds.at(-1)?.atMs ?? Number.NaN)
  expect(taken?.lastMs).toBeLessThanOrEqual(killedMs)
  expect(taken?.atMs).toBeGreaterThan(killedMs)
  const still = (await second.instructor.get('/api/training/instructor')).body
  for (const key of ['seed', 'faults', 'changes']) expect(still[key], key).toEqual(hidden[key])
  expect(still.faults.map(({ cause, by, mended }: never) => [cause, by, mended])).toEqual([
    ['gain-one-side', 'exercise', false],
    ['arrow-reversed', 'exercise', false],
    ['open-bridge', 'instructor', true],
  ])
  // The journal tells what is hidden; nobody but its owner reads it.
  const journal = join(folder, '.evenpull', 'line.yaml.training-open.jsonl')
  expect(statSync(journal).mode & 0o077).toBe(0)

  // It goes on: the page of the line shows it, and ending in order loses it no more than being killed.
  await doing(second, 'close-guards')
  expect((await doing(second, 'unlock')).deed).toMatchObject({ number: 9, refused: null })
  expect(await second.stop()).toBe(0)
  const third = await startTrainingProcess(folder)
  const last = (await third.get('/api/training/exercise')).body.exercise as TrainingExercise
  expect(last.takenUp).toHaveLength(2)
  expect(last.conditions[ZONE]).toMatchObject({ power: 'stopped', guards: 'closed' })
  const answer = { exercise: exercise.id, findings: [], note: '' }
  expect((await third.post('/api/training/exercise/answer', answer)).body.state).toBe('handed-in')
  expect(existsSync(journal)).toBe(false)
  const debrief = await third.debrief(exercise.id)
  expect(debrief.exercise.deeds).toHaveLength(9)
  expect(debrief.seed).toBe(hidden.seed)
  expect(debrief.refusals).toHaveLength(2)
  expect(debrief.time.wall).toBeLessThan((debrief.endedMs - debrief.exercise.startedMs) / 1000)
  expect(debrief.changes).toHaveLength(1)
  expect(await third.stop()).toBe(0)
})

test('hints of a lesson are counted on; half a last line of the journal is dropped, and one that is damaged is set aside', {
  timeout: 400_000,
}, async () => {
  const journal = join(folder, '.evenpull', 'line.yaml.training-open.jsonl')
  const first = await startTrainingProcess(folder)
  const begun = (await first.post('/api/training/exercise', { trainee: 'T', lesson: 'push' })).body
  await first.post('/api/training/exercise/hint', { exercise: begun.id })
  const act = { exercise: begun.id, act: 'stop', zone: begun.zones[0], args: {} }
  await first.post('/api/training/exercise/acts', act)
  await killed(first)
  appendFileSync(journal, '{"kind":"deed","deed":{"number":2,"act":"lock-')

  const second = await startTrainingProcess(folder)
  const taken = (await second.get('/api/training/exercise')).body.exercise
  expect(taken).toMatchObject({ id: begun.id, hints: { left: begun.hints.left - 1 } })
  expect(taken.hints.given).toHaveLength(1)
  expect(taken.deeds).toHaveLength(1)
  await killed(second)
  const lines = readFileSync(journal, 'utf8').split('\n')
  const damaged = [...lines.slice(0, 2), '\0\0\0', ...lines.slice(2)].join('\n')
  writeFileSync(journal, damaged)

  const third = await startTrainingProcess(folder)
  expect((await third.get('/api/training/exercise')).body).toEqual({ exercise: null })
  const aside = readdirSync(join(folder, '.evenpull')).filter((name) => name.includes('training-open'))
  expect(aside).toEqual([expect.stringContaining('not-understood')])
  expect(readFileSync(join(folder, '.evenpull', aside[0] ?? ''), 'utf8')).toBe(damaged)
  expect((await third.post('/api/training/exercise', { trainee: 'T', lesson: 'push' })).status).toBe(200)
  expect(await third.stop()).toBe(0)
})

test.each([
  ['its journal was taken away', false],
  ['its result was kept', true],
])(
  'handed in, and killed before %s: it is over after the restart, once, and not open again',
  {
    timeout: 400_000,
  },
  async (_, isResultLost) => {
    const beside = join(folder, '.evenpull', 'line.yaml.training')
    const [journal, progress] = [`${beside}-open.jsonl`, `${beside}.json`]
    const first = await startTrainingProcess(folder)
    const begun = (await first.post('/api/training/exercise', { trainee: 'T', lesson: 'path' })).body
    const open = readFileSync(journal)
    const answer = { exercise: begun.id, findings: [], note: '' }
    expect((await first.post('/api/training/exercise/answer', answer)).status).toBe(200)
    await killed(first)
    // As the disk is when the process ends between two of its writes.
    writeFileSync(journal, open)
    if (isResultLost) rmSync(progress)

    const second = await startTrainingProcess(folder)
    expect((await second.get('/api/training/exercise')).body).toEqual({ exercise: null })
    expect(existsSync(journal)).toBe(false)
    const { results } = (await second.get('/api/training/progress?trainee=T')).body
    expect(results.map(({ exercise }: { exercise: string }) => exercise)).toEqual([begun.id])
    expect((await second.debrief(begun.id)).exercise.state).toBe('handed-in')
    expect(await second.stop()).toBe(0)
  },
)

test('killed in the middle of a write, again and again, the file of progress is whole', {
  timeout: 400_000,
}, async () => {
  let kept = 0
  for (const delay of [0, 3, 8]) {
    const run = await startTrainingProcess(folder)
    const begun = await run.post('/api/training/exercise', { trainee: 'T', lesson: 'path' })
    const given = run.post('/api/training/exercise/give-up', { exercise: begun.body.id }).then(
      ({ status }) => status === 200,
      () => false,
    )
    await new Promise((resolve) => setTimeout(resolve, delay))
    await killed(run)
    if (await given) kept += 1
    const file = join(folder, '.evenpull', 'line.yaml.training.json')
    const names = readdirSync(join(folder, '.evenpull'))
    if (!names.includes('line.yaml.training.json')) {
      expect(kept).toBe(0)
      continue
    }
    const { results } = JSON.parse(readFileSync(file, 'utf8'))
    // All that was answered is there; one that was written and not answered may be.
    expect(results.length).toBeGreaterThanOrEqual(kept)
    kept = results.length
  }
})

test('a config that is somebody’s own is not written over', { timeout: 60_000 }, async () => {
  const own = 'version: 1\n# mine\n'
  writeFileSync(join(folder, 'line.yaml'), own)
  await expect(startTrainingProcess(folder)).rejects.toThrow(/is another config/)
  expect(readFileSync(join(folder, 'line.yaml'), 'utf8')).toBe(own)
})

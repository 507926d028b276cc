import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { descendantsOf, isAlive } from './support/process-tree.ts'
import { until } from './support/processes.ts'
import { madeFolder, removed, startTrainingProcess } from './support/training.ts'

let folder: string
beforeEach(() => {
  folder = madeFolder()
})
afterEach(() => removed(folder))

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
  const below = descendantsOf(first.pid)
  for (const pid of below) process.kill(pid, 'SIGKILL')
  await first.stop('SIGKILL')
  await until('everything is gone', () => !below.some(isAlive))

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
    const below = descendantsOf(run.pid)
    for (const pid of below) process.kill(pid, 'SIGKILL')
    await run.stop('SIGKILL')
    await until('everything is gone', () => !below.some(isAlive))
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

import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { WebSocket } from 'ws'
import { STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'
import type { HiddenFault, TrainingExercise } from '../../shared/schemas/training.ts'
import { TWO_SIDES } from '../config/support.ts'
import { startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { madeFolder, removed, startTrainingProcess, type TrainingProcess } from './support/training.ts'

const LINE = 'install'
const ZONE = 'laminator-outfeed'

let folder: string
let training: TrainingProcess
beforeAll(async () => {
  folder = madeFolder()
  training = await startTrainingProcess(folder)
}, 60_000)
afterAll(async () => {
  await training.stop()
  removed(folder)
})

async function set(faults: readonly HiddenFault[]): Promise<TrainingExercise> {
  const told = await training.instructor.post('/api/training/instructor/exercise', {
    trainee: 'A. Fitter',
    line: LINE,
    faults,
  })
  expect(told.status, told.text).toBe(200)
  return told.body.exercise
}

const act = async (exercise: TrainingExercise, id: string, args: Record<string, unknown> = {}) =>
  training.post('/api/training/exercise/acts', { exercise: exercise.id, act: id, zone: ZONE, args })

/** Hidden, and never there while an exercise lasts: what a trainee sees cannot differ by what it does. */
const dormant = (fault: HiddenFault['fault'], side: HiddenFault['side'], severity: number): HiddenFault => ({
  fault,
  zone: ZONE,
  side,
  severity,
  onset: { kind: 'sudden', after_s: 86_000 },
})

const READS = [
  '/api/training',
  '/api/training/acts',
  '/api/training/exercise',
  '/api/training/progress?trainee=A.%20Fitter',
  '/api/health',
  '/api/zones',
  `/api/zones/${ZONE}/now`,
  `/api/zones/${ZONE}/geometry`,
  '/api/events',
  '/api/revisions',
  '/api/alarms',
  '/metrics',
]

/** All that a trainee is sent in an exercise, by where it came from; the socket's frames as text. */
async function everythingSent(
  fault: HiddenFault,
): Promise<{ sent: Record<string, string>; exercise: TrainingExercise }> {
  const sent: Record<string, string> = {}
  const socket = new WebSocket(`${training.address.replace('http', 'ws')}${STREAM_PATH}`, SUBPROTOCOL)
  let frames = ''
  socket.on('message', (data) => {
    frames += (data as Buffer).toString('latin1')
  })
  socket.once('message', () => socket.send(JSON.stringify({ type: 'subscribe', zones: [{ zone: ZONE }] })))
  const exercise = await set([fault])
  await untilAnswer(
    async () => frames.length,
    (length) => length > 2000,
  )
  const deeds: string[] = []
  deeds.push((await act(exercise, 'lock-out')).text)
  deeds.push((await act(exercise, 'measure-arrow', { side: 'drive_side' })).text)
  deeds.push((await act(exercise, 'look-at-fit', { side: 'operator_side' })).text)
  deeds.push((await act(exercise, 'start', { speed_m_min: 60 })).text)
  deeds.push((await act(exercise, 'no-such-act')).text)
  deeds.push((await training.post('/api/training/exercise/hint', { exercise: exercise.id })).text)
  deeds.push((await training.get(`/api/training/debriefs/${exercise.id}`)).text)
  deeds.push((await training.get('/api/training/instructor')).text)
  sent.deeds = deeds.join('\n')
  for (const path of READS) sent[path] = (await training.get(path)).text
  sent.config = readFileSync(training.configPath, 'utf8')
  socket.close()
  sent.socket = frames
  return { sent, exercise }
}

/** Without what differs between any two exercises: numbers, ids, hashes. */
const unmeasured = (text: string): string =>
  text
    .replaceAll(/[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g, 'ID')
    .replaceAll(/"[0-9a-f]{12}"/g, '"REVISION"')
    .replaceAll(/-?\d+(\.\d+)?(e[+-]?\d+)?/gi, '#')

describe('a trainee is not told what is hidden', () => {
  test('before the debrief: everything sent is the same whatever is hidden, and holds neither secret, key nor truth', {
    timeout: 400_000,
  }, async () => {
    const gain = dormant('gain-one-side', 'drive_side', 12.34567)
    const hum = dormant('mains-hum', null, 7.65432)
    const runs = []
    for (const fault of [gain, hum]) {
      const run = await everythingSent(fault)
      // Told to the instructor, so there is something that could have been told.
      const view = await training.instructor.get('/api/training/instructor')
      expect(view.body.faults).toMatchObject([{ cause: fault.fault, severity: fault.severity }])
      await training.post('/api/training/exercise/give-up', { exercise: run.exercise.id })
      runs.push({ ...run, seed: view.body.seed as number, fault })
    }
    const secret = readFileSync(
      join(dirname(training.configPath), '.evenpull', 'line.yaml.training-secret'),
      'utf8',
    ).trim()
    for (const { sent, seed, fault } of runs) {
      for (const [where, text] of Object.entries(sent)) {
        expect(text.length, where).toBeGreaterThan(0)
        for (const marker of [secret, training.key, String(seed), String(fault.severity)])
          expect(text.includes(marker), `${where} holds ${marker}`).toBe(false)
        // The list of answers names every cause; nothing else names any.
        if (where !== '/api/training') expect(text.includes(fault.fault), `${where} names ${fault.fault}`).toBe(false)
      }
    }
    const [first, second] = runs
    for (const where of ['deeds', 'config', ...READS.slice(0, 3), '/api/zones', `/api/zones/${ZONE}/geometry`])
      expect(unmeasured(second?.sent[where] ?? '').slice(0, 20_000), where).toBe(
        unmeasured(first?.sent[where] ?? '').slice(0, 20_000),
      )
    expect(first?.sent.deeds).toContain('EVP_TRAINING_STATE')
    expect(first?.sent.deeds).toContain('EVP_TRAINING_KEY')
    // And the debrief tells it: the markers are ones that are told when they may be.
    const debrief = await training.debrief(first?.exercise.id ?? '')
    expect(debrief.truth).toMatchObject([{ cause: 'gain-one-side', side: 'drive_side', severity: 12.34567 }])
  })

  test('a wrong key and a missing one open nothing', async () => {
    for (const path of [
      '/api/training/instructor',
      '/api/training/instructor/faults',
      '/api/training/instructor/results',
    ]) {
      expect((await training.get(path)).body.code).toBe('EVP_TRAINING_KEY')
      const reply = await fetch(training.address + path, { headers: { 'x-training-key': 'A'.repeat(12) } })
      expect([reply.status, ((await reply.json()) as { code: string }).code]).toEqual([403, 'EVP_TRAINING_KEY'])
      // The gateway's own word for an engineer is nobody else's to say.
      const forged = await fetch(training.address + path, { headers: { 'x-training-role': 'engineer' } })
      expect(forged.status).toBe(403)
    }
  })
})

describe('an exercise', () => {
  test('counts what would have been unsafe, follows the instructor, is handed in and debriefed', {
    timeout: 400_000,
  }, async () => {
    const exercise = await set([])
    const refused = await act(exercise, 'measure-arrow', { side: 'drive_side' })
    expect(refused.status).toBe(200)
    expect(refused.body.deed.refused).toMatchObject({ unsafe: true })
    expect(refused.body.exercise.tally).toMatchObject({ refused: 1, unsafe: 1, seconds: 0 })

    // Something goes wrong while it is open, and shows on the live page.
    const fault = { fault: 'open-bridge', zone: ZONE, side: 'operator_side', severity: 1, onset: { kind: 'constant' } }
    const change = (body: object) =>
      training.instructor.post('/api/training/instructor/changes', { exercise: exercise.id, ...body })
    expect((await change({ do: 'put-in', fault })).body.faults).toMatchObject([
      { cause: 'open-bridge', by: 'instructor' },
    ])
    await untilAnswer(
      async () => (await training.get(`/api/zones/${ZONE}/now`)).body,
      (now) => now.sides.operator_side.live.value === null && now.sides.drive_side.live.value !== null,
    )
    const running = await change({ do: 'speed', speed_m_min: 60 })
    expect(running.body.machine.byHand).toBe(true)
    expect((await change({ do: 'tension', zone: 'nowhere', tension_n: 10 })).status).toBe(400)
    expect((await training.instructor.get('/api/training/instructor')).body.exercise.deeds).toHaveLength(1)

    await act(exercise, 'stop')
    await act(exercise, 'measure-bridge', { side: 'operator_side' })
    const answer = {
      exercise: exercise.id,
      findings: [{ cause: 'open-bridge', side: 'operator_side', zone: ZONE, remedy: 'replace-cable' }],
      note: 'both ways open',
    }
    expect((await training.post('/api/training/exercise/answer', answer)).body.state).toBe('handed-in')
    expect((await act(exercise, 'stop')).body.code).toBe('EVP_TRAINING_STATE')

    const debrief = await training.debrief(exercise.id)
    expect(debrief.truth).toMatchObject([
      { cause: 'open-bridge', side: 'operator_side', by: 'instructor', mended: false },
    ])
    // 8 of 8, one off for the unsafe try.
    expect(debrief.score).toMatchObject({
      points: 7,
      most: 8,
      findings: [{ cause: true, side: true, remedy: true, untold: false }],
    })
    expect(debrief.refusals).toMatchObject([{ number: 1, unsafe: true }])
    expect(debrief.changes.map(({ words }) => words)).toEqual([
      expect.stringContaining('Open bridge or cut wire'),
      'Speed set to 60 m/min.',
    ])
    const test = (id: string) => debrief.tests.find((one) => one.id === id)
    expect(test('bridge-operator')).toMatchObject({ verdict: 'told', deeds: [3] })
    expect(test('bridge-drive')).toMatchObject({ verdict: 'could not tell', deeds: [] })
    expect(debrief.shortest[0]).toMatchObject({ cause: 'open-bridge' })
    expect(debrief.shortest[0]?.steps.at(-1)?.act).toBe('measure-bridge')

    const results = await training.instructor.get('/api/training/instructor/results?format=csv')
    expect(results.text).toContain('open-bridge laminator-outfeed operator_side')
    expect((await training.get('/api/training/progress?trainee=A.%20Fitter')).body.results[0]).toMatchObject({
      exercise: exercise.id,
      found: true,
      unsafe: 1,
      changes: 2,
    })
  })

  test('on another line brings that line’s zones to the same page, and only one is open at a time', {
    timeout: 120_000,
  }, async () => {
    const begun = await training.post('/api/training/exercise', { trainee: 'B. Fitter', lesson: 'spectrum' })
    expect(begun.body).toMatchObject({ line: 'narrow-foil', lesson: 'spectrum', hints: { given: [], left: 2 } })
    await untilAnswer(
      async () => (await training.get('/api/zones')).body,
      ({ zones }) => zones[0]?.id === 'foil-pull',
    )
    await untilAnswer(
      async () => (await training.get('/api/zones/foil-pull/now')).body,
      (now) => now.sides?.drive_side?.live?.value > 0,
    )
    const second = await training.post('/api/training/exercise', { trainee: 'C. Fitter', lesson: 'push' })
    expect([second.status, second.body.code]).toEqual([409, 'EVP_TRAINING_STATE'])
    const hint = await training.post('/api/training/exercise/hint', { exercise: begun.body.id })
    expect(hint.body.hints).toMatchObject({ left: 1 })
    expect((await training.post('/api/training/exercise/give-up', { exercise: begun.body.id })).body.state).toBe(
      'given-up',
    )
  })
})

test('a gateway of a real machine says that there is none to train at, and how to get one', {
  timeout: 60_000,
}, async () => {
  const gateway = await startGatewayProcess(TWO_SIDES)
  const reply = await fetch(`${gateway.address}/api/training`)
  expect([reply.status, await reply.json()]).toMatchObject([
    404,
    { code: 'EVP_TRAINING_OFF', remedy: expect.stringContaining('npm run evenpull -- simulate') },
  ])
  await gateway.stop()
})

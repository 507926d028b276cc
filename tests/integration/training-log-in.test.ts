import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { NAMES, PASSWORDS } from '../access/support/made-access.ts'
import { evenpull } from './support/evenpull.ts'
import { untilAnswer } from './support/gateway.ts'
import { patientFetch } from './support/patient-fetch.ts'
import { madeFolder, removed, startTrainingProcess, type TrainingProcess } from './support/training.ts'

const ROLES = ['engineer', 'operate', 'view'] as const
type Role = (typeof ROLES)[number]
const LESSON = { trainee: 'A. Fitter', lesson: 'push' }

let folder: string
let training: TrainingProcess
/** Who has logged in. */
let people: Record<Role, Pick<TrainingProcess, 'get' | 'post'>>

async function loggedIn(role: Role) {
  const answer = await patientFetch(`${training.address}/api/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ name: NAMES[role], password: PASSWORDS[role] }),
  })
  expect(answer.status, await answer.text()).toBe(200)
  const cookie = answer.headers.getSetCookie().map((line) => line.split(';')[0])
  return training.as({ cookie: cookie.join('; ') })
}

const everybodyLoggedIn = async () => ({
  engineer: await loggedIn('engineer'),
  operate: await loggedIn('operate'),
  view: await loggedIn('view'),
})

beforeAll(async () => {
  folder = madeFolder()
  training = await startTrainingProcess(folder)
  // Users of the training machine's config, added as anybody adds them, while it runs.
  for (const role of ROLES) {
    const words = ['users', 'add', training.configPath, NAMES[role], '--role', role, '--stdin']
    const { code, err } = await evenpull(`${PASSWORDS[role]}\n`, ...words)
    expect(code, err).toBe(0)
  }
  await untilAnswer(
    async () => (await training.get('/api/training')).status,
    (status) => status === 401,
  )
  // The first one closes it; the gateway looks for the others once a second.
  const engineer = await loggedIn('engineer')
  await untilAnswer(
    async () => (await engineer.get('/api/users')).body.users.length,
    (count) => count === ROLES.length,
  )
  people = await everybodyLoggedIn()
}, 120_000)
afterAll(async () => {
  await training?.stop()
  removed(folder)
})

describe('a training machine with users', () => {
  it('tells nothing to whoever has not logged in, also not for the key', async () => {
    for (const path of ['', '/exercise', '/acts', '/progress?trainee=A', '/instructor', '/instructor/results']) {
      expect((await training.get(`/api/training${path}`)).body.code, path).toBe('EVP_LOGIN_NEEDED')
      expect((await training.instructor.get(`/api/training${path}`)).status, path).toBe(401)
    }
    expect((await training.post('/api/training/exercise', LESSON)).status).toBe(401)
  })

  it('lets view look, operate work and an engineer instruct, without a key; what it refuses it says', async () => {
    const { engineer, operate, view } = people
    expect((await view.get('/api/training')).status).toBe(200)
    const refused = await view.post('/api/training/exercise', LESSON)
    expect(refused).toMatchObject({ status: 403, body: { code: 'EVP_ROLE' } })
    expect(refused.body.message).toBe(`this needs the role operate, and ${NAMES.view} has view`)

    const begun = await operate.post('/api/training/exercise', LESSON)
    expect(begun.status, begun.text).toBe(200)
    const exercise = begun.body.id as string
    const act = { exercise, act: 'lock-out', zone: begun.body.zones[0], args: {} }
    expect((await view.post('/api/training/exercise/acts', act)).body.code).toBe('EVP_ROLE')
    expect((await operate.post('/api/training/exercise/acts', act)).body.deed.refused).toBeNull()
    // The config was written anew for the line: whoever had logged in still is, and looks on.
    expect((await view.get('/api/training/exercise')).body.exercise.deeds).toHaveLength(1)

    for (const who of [view, operate]) {
      const told = await who.get('/api/training/instructor')
      expect([told.status, told.body.code]).toEqual([403, 'EVP_ROLE'])
      expect(told.body.message).toContain('this needs the role engineer')
    }
    const told = await engineer.get('/api/training/instructor')
    expect(told.body).toMatchObject({ exercise: { id: exercise }, faults: [{ by: 'exercise' }] })
    const change = { do: 'clear-faults', exercise }
    expect((await operate.post('/api/training/instructor/changes', change)).body.code).toBe('EVP_ROLE')
    expect((await engineer.post('/api/training/instructor/changes', change)).body.faults).toEqual([])

    for (const path of ['hint', 'give-up'])
      expect((await view.post(`/api/training/exercise/${path}`, { exercise })).body.code, path).toBe('EVP_ROLE')
    expect((await operate.post('/api/training/exercise/give-up', { exercise })).body.state).toBe('given-up')
    expect((await view.get(`/api/training/debriefs/${exercise}`)).status).toBe(200)
    expect((await view.get(`/api/training/progress?trainee=${LESSON.trainee}`)).body.results).toHaveLength(1)
    expect((await engineer.get('/api/training/instructor/results?format=csv')).text).toContain(LESSON.trainee)
  })

  it('has them after a restart as well, and goes on with the exercise that was open', {
    timeout: 120_000,
  }, async () => {
    const begun = await people.operate.post('/api/training/exercise', LESSON)
    await training.stop()
    training = await startTrainingProcess(folder)
    expect((await training.get('/api/training/exercise')).body.code).toBe('EVP_LOGIN_NEEDED')
    people = await everybodyLoggedIn()
    const { exercise } = (await people.view.get('/api/training/exercise')).body
    expect(exercise).toMatchObject({ id: begun.body.id, takenUp: [{ atMs: expect.any(Number) }] })
  })
})

it('that others would reach without users is refused as the gateway refuses it, with the command that adds the first', {
  timeout: 60_000,
}, async () => {
  const other = madeFolder()
  const config = join(other, 'line.yaml')
  const words = ['simulate', '--config', config, '--port', '0', '--host', '::ffff:127.0.0.1']
  const { code, out, err } = await evenpull('', ...words)
  expect([code, out]).toEqual([1, ''])
  expect(err).toContain('[EVP_BIND_OPEN]')
  expect(err).toContain(`evenpull users add ${config} NAME --role engineer`)
  // What it names can be done: the config is there.
  const added = await evenpull(`${PASSWORDS.engineer}\n`, 'users', 'add', config, 'E', '--role', 'engineer', '--stdin')
  expect(added.code, added.err).toBe(0)
  removed(other)
})

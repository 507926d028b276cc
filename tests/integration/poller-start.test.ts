import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type RecordingServer, recordingServer } from './recording-server.ts'

const PROJECT = fileURLToPath(new URL('../..', import.meta.url))
const REGISTER = `import { register } from 'tsx/esm/api'; register();`

/** A process that polls until the first answer, stops, and must then end by itself. */
const poll = (port: number) => `
  const { startPolling } = await import('./gateway/poller/polling.ts')
  const { planRequests } = await import('./gateway/poller/plan.ts')
  const { configSchema } = await import('./shared/schemas/config.ts')
  const polling = startPolling({
    readings: ([reading]) => {
      if (reading?.kind !== 'answer') return
      console.log('answer', reading.words.join())
      void polling.stop().then(() => console.log('stopped'))
    },
    health: () => {},
    failed: (error) => console.log('failed', error.message),
  })
  polling.apply(planRequests(configSchema.parse({
    version: 1,
    devices: [{ id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1', port: ${port} }],
    channels: [{ id: 'a', device: 'amp', register: { address: 7 } }],
    zones: [{ id: 'z', cells: { single: 'a' } }],
  })))
`

function node(args: readonly string[]): Promise<{ code: number | null; output: string }> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ['--input-type=module', ...args], { cwd: PROJECT })
    let output = ''
    child.stdout.on('data', (data) => (output += data))
    child.stderr.on('data', (data) => (output += data))
    const late = setTimeout(() => child.kill('SIGKILL'), 30_000)
    child.on('error', reject)
    child.on('exit', (code) => {
      clearTimeout(late)
      resolve({ code, output })
    })
  })
}

let device: RecordingServer
beforeAll(async () => {
  device = await recordingServer()
})
afterAll(() => device.close())

test.each([
  ['node --import tsx', () => ['--import', 'tsx', '-e', poll(device.port)]],
  ['the TypeScript loader registered by its API', () => ['-e', REGISTER + poll(device.port)]],
])('the polling process starts under %s, and the process ends by itself after stop', async (_how, args) => {
  const { code, output } = await node(args())
  expect(output).toContain('answer 7\n')
  expect(output).toContain('stopped\n')
  expect(code).toBe(0)
})

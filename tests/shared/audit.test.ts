import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { auditInWords } from '../../gateway/start/audit.mjs'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const counted = (total: number) => ({ metadata: { vulnerabilities: { total }, dependencies: { total: 80 } } })

it('says that nothing is known, or what is', () => {
  expect(auditInWords(JSON.stringify({ vulnerabilities: {}, ...counted(0) }))).toEqual({
    code: 0,
    lines: ['No known weakness of 80 packages.'],
  })
  const vulnerabilities = { made: { name: 'made', severity: 'high', range: '<2', fixAvailable: false } }
  expect(auditInWords(JSON.stringify({ vulnerabilities, ...counted(1) }))).toMatchObject({
    code: 1,
    lines: ['high\tmade <2\tno newer version mends it', expect.stringContaining('1 known weaknesses')],
  })
})

it('never takes silence of the registry for a clean answer', () => {
  for (const text of ['', 'no JSON', '{}', '{"message":"request to the registry failed","error":{}}'])
    expect(auditInWords(text)).toMatchObject({
      code: 3,
      lines: [expect.stringContaining('is unknown'), expect.anything()],
    })
})

it('npm itself is asked, and a registry that nobody serves is said in a sentence', { timeout: 120_000 }, () => {
  const { status, stdout } = spawnSync('npm', ['run', '--silent', 'audit'], {
    cwd: ROOT,
    encoding: 'utf8',
    // Port 9 of loopback: nothing listens there.
    env: { ...process.env, npm_config_registry: 'http://127.0.0.1:9/', npm_config_fetch_retries: '0' },
  })
  expect(status).toBe(3)
  expect(stdout).toContain('whether there are known weaknesses is unknown')
})

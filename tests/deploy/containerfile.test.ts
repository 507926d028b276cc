import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { DOCUMENTED_COMMANDS } from '../../app/help/_model/commands.ts'
import { COMMANDS } from '../../gateway/cli/commands.ts'
import { LEAN } from '../../gateway/start/lean.mjs'
import { configSchema } from '../../shared/schemas/config.ts'

const PATH = fileURLToPath(new URL('../../gateway/deploy/Containerfile', import.meta.url))
const manifest = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'))

/** Instructions without remarks: `FROM`, what follows. */
const steps = readFileSync(PATH, 'utf8')
  .split('\n')
  .filter((line) => /^[A-Z]+ /.test(line))
  .map((line) => [line.slice(0, line.indexOf(' ')), line.slice(line.indexOf(' ') + 1)] as const)
const all = (name: string) => steps.filter(([step]) => step === name).map(([, words]) => words)

/** No image is built here; what its steps name is held against the package, which tests/integration/package.test.ts installs. */
describe('the container file', () => {
  it('holds only steps that this test knows', () => {
    expect([...new Set(steps.map(([step]) => step))]).toEqual([
      'FROM',
      'COPY',
      'RUN',
      'ENV',
      'USER',
      'VOLUME',
      'EXPOSE',
      'STOPSIGNAL',
      'CMD',
    ])
  })

  it('begins with a Node that the package takes', () => {
    const [major] = /^node:(\d+)-/.exec(all('FROM')[0] ?? '')?.slice(1) ?? []
    const least = /^>=(\d+)\./.exec(manifest.engines.node)?.[1]
    expect(Number(major)).toBeGreaterThanOrEqual(Number(least))
  })

  it('copies and installs the file that npm pack makes, and leaves none of it behind', () => {
    const made = `${manifest.name}-${manifest.version}.tgz`
    const [from = '', to = ''] = (all('COPY')[0] ?? '').split(' ')
    expect(made).toMatch(new RegExp(`^${from.replace('.', '\\.').replace('*', '.*')}$`))
    expect(all('RUN')[0]).toBe(`npm install --global --no-audit --no-fund ${to}${from} && rm ${to}${from}`)
  })

  it('starts the gateway with the same words for its memory as every other way to start one', () => {
    const said = (all('ENV')[0] ?? '').split(' ').map((word) => word.split(/=(.*)/).slice(0, 2))
    expect(Object.fromEntries(said)).toEqual({ ...LEAN })
  })

  it('does not run as root, and stops by the signal that the gateway ends whole by', () => {
    expect(all('USER')).toEqual(['node'])
    expect(all('STOPSIGNAL')).toEqual(['SIGTERM'])
  })

  it('runs a command that the program has, on a config in the folder that is handed in, at the port of the config', () => {
    const [program, command, config] = JSON.parse(all('CMD')[0] ?? '[]') as string[]
    expect(existsSync(new URL(`../../${manifest.bin[program ?? '']}`, import.meta.url))).toBe(true)
    expect(COMMANDS.map(({ name }) => name)).toContain(command)
    const [folder] = all('VOLUME')
    expect(config).toBe(`${folder}/line.yaml`)
    expect(all('EXPOSE')).toEqual([String(configSchema.shape.gateway.parse(undefined).port)])
    expect(DOCUMENTED_COMMANDS.runContainer).toContain(`:${all('EXPOSE')[0]} -v ./line-1:${folder} `)
    expect(DOCUMENTED_COMMANDS.containerUser).toContain(` ${config} `)
  })

  it('is named by Help as it lies in the tree', () => {
    expect(DOCUMENTED_COMMANDS.buildImage).toContain('--file gateway/deploy/Containerfile ')
    expect(spawnSync('git', ['check-ignore', PATH]).status).not.toBe(0)
  })
})

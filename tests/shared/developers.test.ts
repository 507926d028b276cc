import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'

const ROOT = fileURLToPath(new URL('../../', import.meta.url))
const DEVELOPERS = readFileSync(`${ROOT}DEVELOPERS.md`, 'utf8')
const PARTS = ['shared', 'lib', 'gateway', 'simulator', 'app', 'tests']

const foldersOf = (part: string): string[] =>
  readdirSync(`${ROOT}${part}`, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => `${part}/${name}`)

describe('DEVELOPERS.md', () => {
  it('tells the job of every folder; one of tests may bear the name of the code it holds', () => {
    const code = new Set(
      PARTS.filter((part) => part !== 'tests')
        .flatMap(foldersOf)
        .map((path) => path.split('/')[1]),
    )
    const isTold = (path: string) => DEVELOPERS.includes(`\`${path}\``)
    const bearsAName = (path: string) => {
      const [part, name = ''] = path.split('/')
      return part === 'tests' && (code.has(name) || PARTS.includes(name))
    }
    expect(PARTS.flatMap(foldersOf).filter((path) => !isTold(path) && !bearsAName(path))).toEqual([])
  })

  it('tells of no folder that is not there', () => {
    const told = [...DEVELOPERS.matchAll(/`((?:shared|lib|gateway|simulator|app|tests)\/[a-z_/-]+)`/g)].map(
      ([, path = '']) => path,
    )
    expect(told.filter((path) => !existsSync(`${ROOT}${path}`))).toEqual([])
  })
})

import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { HELP_PAGES } from '../../app/help/_model/help-pages.ts'
import { COMMANDS } from '../../gateway/cli/commands.ts'
import { routeTable } from '../../gateway/http/routes/table.ts'
import { ERROR_CATALOGUE } from '../../shared/errors.ts'
import { SCENARIOS } from '../../simulator/scenarios/registry.ts'

const README = readFileSync(new URL('../../README.md', import.meta.url), 'utf8')

/** `code | remedy` rows of the error table. */
function documentedErrors(): Record<string, string> {
  const rows = [...README.matchAll(/^\| `(EVP_\w+)` \| (.+) \|$/gm)]
  return Object.fromEntries(rows.map(([, code, remedy]) => [code, remedy]))
}

/** A chapter, from its title to the next. */
const partOf = (title: string): string => README.split(/^## /m).find((part) => part.startsWith(`${title}\n`)) ?? ''

describe('README', () => {
  it('lists every error of the catalogue with its remedy, and no other', () => {
    expect(documentedErrors()).toEqual({ ...ERROR_CATALOGUE })
  })

  it('lists every command of the program, and no other', () => {
    const section = partOf('Command line')
    const told = [...section.matchAll(/^\| (`.+?`) \|/gm)].flatMap(([, cell = '']) =>
      [...cell.matchAll(/`([a-z]+) /g)].map(([, name]) => name),
    )
    expect([...new Set(told)].sort()).toEqual(COMMANDS.map(({ name }) => name).sort())
    for (const { id } of SCENARIOS) expect(section).toContain(`\`${id}\``)
  })

  it('names every address of the API', () => {
    const section = partOf('HTTP and stream')
    const words = routeTable('any').map(({ path }) => path.split('/').findLast((word) => !word.startsWith('{')) ?? '')
    expect(words.filter((word) => !section.includes(`/${word}`))).toEqual([])
  })

  it('leads to every page of Help', () => {
    const section = partOf('Help')
    for (const { path } of HELP_PAGES) expect(section).toContain(`\`${path}\``)
  })

  it('has the job in one paragraph at its top', () => {
    expect(README.split('\n\n')[1]).toMatch(/^A technician fits a pair of tension load cells .*must train others\./s)
  })
})

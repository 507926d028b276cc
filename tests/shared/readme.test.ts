import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { ERROR_CATALOGUE } from '../../shared/errors.ts'

const README = readFileSync(new URL('../../README.md', import.meta.url), 'utf8')

/** `code | remedy` rows of the error table. */
function documentedErrors(): Record<string, string> {
  const rows = [...README.matchAll(/^\| `(EVP_\w+)` \| (.+) \|$/gm)]
  return Object.fromEntries(rows.map(([, code, remedy]) => [code, remedy]))
}

describe('README', () => {
  it('lists every error of the catalogue with its remedy, and no other', () => {
    expect(documentedErrors()).toEqual({ ...ERROR_CATALOGUE })
  })

  it('has the job in one paragraph at its top', () => {
    expect(README.split('\n\n')[1]).toMatch(/^A technician fits a pair of tension load cells .*must train others\./s)
  })
})

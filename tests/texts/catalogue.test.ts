import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { extract } from './extract/extract.mjs'

const read = (name: string): Record<string, string> =>
  JSON.parse(readFileSync(new URL(`../../shared/texts/${name}`, import.meta.url), 'utf8'))

describe('The catalogue of texts', () => {
  it('holds what the sources say, no more and no less (npm run texts writes it)', { timeout: 60_000 }, () => {
    const made = Object.fromEntries(extract())
    expect(Object.keys(read('en.json')).sort()).toEqual(Object.keys(made).sort())
  })
})

import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { placesOf } from '../../lib/texts/template.ts'
import { extract } from './extract/extract.mjs'
import { SAME_IN_GERMAN } from './same-in-german.ts'

const read = (name: string): Record<string, string> =>
  JSON.parse(readFileSync(new URL(`../../shared/texts/${name}`, import.meta.url), 'utf8'))
const english = read('en.json')
const german = read('de.json')

describe('The catalogue of texts', () => {
  it('holds what the sources say, no more and no less (npm run texts writes it)', { timeout: 120_000 }, () => {
    expect(Object.keys(english).sort()).toEqual([...extract().keys()].sort())
  })
})

describe('German', () => {
  it('has every text', () => {
    expect(Object.keys(english).filter((key) => !(german[key] ?? '').trim())).toEqual([])
  })

  it('has none that nothing says any more', () => {
    expect(Object.keys(german).filter((key) => !(key in english))).toEqual([])
  })

  it('puts in what English puts in, each once', () => {
    const wrong = Object.entries(german).filter(
      ([key, text]) => `${placesOf(key).sort()}` !== `${placesOf(text).sort()}`,
    )
    expect(wrong).toEqual([])
  })

  it('is no English left standing, but for what is the same in both', () => {
    const same = Object.entries(german).flatMap(([key, text]) => (key === text ? [key] : []))
    expect(same.sort()).toEqual([...SAME_IN_GERMAN].sort())
  })

  it('calls the things of the trade by one name each', () => {
    const forbidden =
      /Wägezelle|Bahnspannung|Zugspannung|Rechtszug|Linkszug|Bedienerseite|stromab|stromauf|Nullpunkt genommen/
    expect(Object.values(german).filter((text) => forbidden.test(text))).toEqual([])
  })

  it('says of every lock-out that it is one against switching on again: secured alone may mean a strap', () => {
    const lockOuts = Object.entries(german).filter(([key]) => /\block(ed)?[ -](it )?out\b/i.test(key))
    expect(lockOuts.length).toBeGreaterThan(40)
    expect(lockOuts.filter(([, text]) => !/gegen Wiedereinschalten/i.test(text)).map(([key]) => key)).toEqual([])
  })
})

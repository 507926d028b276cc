import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { filled, hasPlaces, placesOf, wholeWordsOf } from '../../lib/texts/template.ts'
import { Translator } from '../../lib/texts/translator.ts'
import german from '../../shared/texts/de.json' with { type: 'json' }
import english from '../../shared/texts/en.json' with { type: 'json' }

const translator = (catalogue: Record<string, string>, names: readonly string[] = []) =>
  new Translator({ catalogue, isVerbatim: (text) => names.includes(text) })

describe('A text is translated', () => {
  const german = translator(
    {
      'Data {0} old.': 'Daten {0} alt.',
      '{0}: no data': '{0}: keine Daten',
      'drive side': 'Antriebsseite',
      'operator side': 'Bedienseite',
      'no good samples': 'keine guten Messwerte',
      '{0} lies wholly {1} {2}.': '{0} liegt ganz {1} {2}.',
      within: 'innerhalb von',
      'Not done.': 'Nicht gemacht.',
      'The {0} carries more than the {1}.': 'Mehr als die {1} trägt die {0}.',
      and: 'und',
      '{0} in {1}': '{0} in {1}',
    },
    ['no good samples of ours', 'Infeed'],
  )
  const say = (text: string) => german.translate(text)

  it.each([
    ['Not done.', 'Nicht gemacht.'],
    ['  Not done. ', '  Nicht gemacht. '],
    ['Data 0.4 s old.', 'Daten 0.4 s alt.'],
    ['drive side: no data', 'Antriebsseite: keine Daten'],
    ['Drive side: no data', 'Antriebsseite: keine Daten'],
    ['The drive side carries more than the operator side.', 'Mehr als die Bedienseite trägt die Antriebsseite.'],
    ['4.1 ± 0.2 % lies wholly within ±10 %.', '4.1 ± 0.2 % liegt ganz innerhalb von ±10 %.'],
    ['Not done. Data 3 s old.', 'Nicht gemacht. Daten 3 s alt.'],
    ['drive side · no good samples', 'Antriebsseite · keine guten Messwerte'],
    ['drive side and operator side', 'Antriebsseite und Bedienseite'],
    ['drive side (no good samples)', 'Antriebsseite (keine guten Messwerte)'],
    ['Infeed: no data', 'Infeed: keine Daten'],
    ['drive side, 3.1 N', 'Antriebsseite, 3.1 N'],
    ['3.1 N drive side', '3.1 N Antriebsseite'],
    ['channel-7: no data', 'channel-7: keine Daten'],
  ])('%s', (text, expected) => {
    expect(say(text)).toEqual({ text: expected, isWhole: true })
  })

  it('unless the catalogue does not know it: then it comes back as it was, and is told as missing', () => {
    for (const text of [
      'Some other words.',
      'nothing of the kind',
      'Infeed and more',
      'other words, drive side, not these',
    ])
      expect(say(text)).toEqual({ text, isWhole: false })
  })

  it('and a name stays a name where it is put in, also where it is a word of the page; alone the word is meant', () => {
    const named = translator({ Live: 'Laufend', '{0}: no data': '{0}: keine Daten' }, ['Live'])
    expect(named.translate('Live: no data').text).toBe('Live: keine Daten')
    expect(named.translate('Live').text).toBe('Laufend')
  })

  it('a short pattern does not take what it does not understand', () => {
    expect(say('three wise men in a boat')).toEqual({ text: 'three wise men in a boat', isWhole: false })
  })

  it('a figure, a unit and a clock time need no word', () => {
    for (const text of ['206.4 ± 2.1 N', '12:04:55', '2026-03-09', '—', '0.3 mV/V'])
      expect(say(text)).toEqual({ text, isWhole: true })
  })
})

describe('The catalogue of this product', () => {
  const keys = Object.keys(english)
  /** Marks each key, so that it can be seen which one was used. */
  const marked = translator(Object.fromEntries(keys.map((key) => [key, `«${key}»`])))
  const value = fc.oneof(
    fc.double({ min: -1e4, max: 1e4, noNaN: true }).map((n) => n.toFixed(2)),
    fc.integer({ min: 0, max: 9999 }).map(String),
    fc.stringMatching(/^[a-z]{2,6}-[0-9]{1,3}$/),
  )

  it('finds what each template makes of values, with the same values', () => {
    const templates = keys.filter((key) => hasPlaces(key) && wholeWordsOf(key).length >= 3)
    expect(templates.length).toBeGreaterThan(500)
    fc.assert(
      fc.property(fc.constantFrom(...templates), fc.array(value, { minLength: 12, maxLength: 12 }), (key, values) => {
        const text = filled(key, values)
        const told = marked.translate(text)
        expect(told.isWhole).toBe(true)
        for (const place of placesOf(key)) expect(told.text).toContain(values[Number(place)])
        // Another template may say more of the same text, never less.
        const used = /^«(.*)»$/s.exec(told.text)
        expect(used).not.toBeNull()
      }),
      { numRuns: 3000, seed: 11 },
    )
  })

  it('leaves alone what no template makes', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^(zq[a-z]{3,8} ){1,5}zq[a-z]{2}$/), (text) => {
        expect(marked.translate(text)).toEqual({ text, isWhole: false })
      }),
      { numRuns: 500, seed: 3 },
    )
  })

  it('holds no text without a word of its own, for it would be found in everything', () => {
    expect(keys.filter((key) => wholeWordsOf(key).length === 0)).toEqual([])
  })

  it('understands a part again that was met before where it could not be cut any more', () => {
    const text =
      'Measured less expected, one cell, 60 m/min, 150 N -61.5 ± 2.1 % (±5 % of expected) and 3 more: outside.'
    expect(translator(german).translate(text)).toEqual({
      text: 'Gemessen minus erwartet, eine Messdose, 60 m/min, 150 N -61.5 ± 2.1 % (±5 % des Erwarteten) und 3 weitere: außerhalb.',
      isWhole: true,
    })
  })

  it('gives up on a long text that nothing covers after a bounded number of looks', () => {
    let looks = 0
    const isVerbatim = () => {
      looks++
      return false
    }
    const made = new Translator({
      catalogue: { 'one {0} and': 'eins {0} und', '{0} or two': '{0} oder zwei' },
      isVerbatim,
    })
    const words = Array.from({ length: 90 }, (_, i) => ['one, ', 'two; ', 'three and ', 'four or '][i % 4]).join('')
    expect(made.translate(words)).toEqual({ text: words, isWhole: false })
    expect(looks).toBeLessThan(20_000)
  })
})

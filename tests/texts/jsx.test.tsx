import { Children, isValidElement, type ReactElement, type ReactNode } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { afterEach, describe, expect, it } from 'vitest'
import { isVerbatim, keepVerbatim, tell, tellingNow, told, typed } from '../../app/_language/current.ts'
import { readersTranslator } from '../../lib/texts/readers-translator.ts'

const plain = tellingNow()
const CATALOGUE = {
  'Data {0} old.': 'Daten {0} alt.',
  Zone: 'Bereich',
  '{0}: live': '{0}: laufend',
  'no data': 'keine Daten',
  'Type a number': 'Zahl eingeben',
}
const choice = () => ({ mark: tellingNow().mark, ...tellingNow().units })
const german = (part = {}) =>
  tell({ ...plain, language: 'de', mark: ',', translator: readersTranslator(CATALOGUE, isVerbatim, choice), ...part })
afterEach(() => tell(plain))

const Heading = ({ title, children }: { readonly title: string; readonly children?: ReactNode }) => (
  <section aria-label={title}>
    <h2>{title}</h2>
    {children}
  </section>
)
/** Made anew on every call, in the language of that moment. */
const page = () => (
  <Heading title="Zone">
    <p>Data {0.4}&nbsp;s old.</p>
    <p translate="no">Zone</p>
    <code>no data</code>
    <input placeholder="Type a number" defaultValue="no data" />
    <p>{typed('no data')}: live</p>
  </Heading>
)

describe('What JSX makes of texts', () => {
  it('is English untouched while nothing else is chosen', () => {
    expect(renderToStaticMarkup(page())).toContain('<p>Data 0.4\u00a0s old.</p>')
  })

  it('is the other language: texts and numbers side by side are one sentence, attributes too', () => {
    german()
    const html = renderToStaticMarkup(page())
    expect(html).toContain('<section aria-label="Bereich"><h2>Bereich</h2>')
    expect(html).toContain('<p>Daten 0,4\u00a0s alt.</p>')
    expect(html).toContain('placeholder="Zahl eingeben"')
  })

  it('leaves code, what a field holds, and what a person typed', () => {
    german()
    const html = renderToStaticMarkup(page())
    expect(html).toContain('<p translate="no">Zone</p>')
    expect(html).toContain('<code>no data</code>')
    expect(html).toContain('value="no data"')
    expect(html).toContain('<p>no data: laufend</p>')
  })

  it('keeps the places of elements, so that React finds a field again when words before it come and go', () => {
    german()
    const place = (isShown: boolean) => {
      const made = (
        <p>
          Zone {isShown && 'no data'} <input />
        </p>
      ) as ReactElement<{ children: ReactNode[] }>
      return made.props.children.findIndex((child) => isValidElement(child))
    }
    expect(place(true)).toBe(place(false))
    expect(Children.count(page())).toBe(1)
  })

  it('in English with a decimal comma only numbers with a unit change, and numbers alone', () => {
    tell({ ...plain, mark: ',' })
    expect(told('1.5')).toBe('1,5')
    expect(told('held to 0.5 % as in JCGM 106, 8.3').replaceAll('\u00a0', ' ')).toBe(
      'held to 0,5 % as in JCGM 106, 8.3',
    )
    expect(told('device at 192.0.2.10:502')).toBe('device at 192.0.2.10:502')
  })

  it('converts a sentence of the gateway into the units of the reader', () => {
    german({ units: { force: 'lbf' } })
    expect(told('Data 44.482 N old.').replaceAll('\u00a0', ' ')).toBe('Daten 10 lbf alt.')
  })

  it('a registered name is no text that is missing', () => {
    keepVerbatim(['Coater outfeed', null, undefined])
    expect(isVerbatim('Coater outfeed')).toBe(true)
    expect(isVerbatim('')).toBe(false)
  })
})

import { renderToStaticMarkup } from 'react-dom/server'
import { afterEach, describe, expect, it } from 'vitest'
import { tell, tellingNow } from '../../../app/_language/current.ts'
import { UnitsContext, unitsOf } from '../../../app/_ui/units.tsx'
import { ReportLink } from '../../../app/verification/_record/ReportLink.tsx'
import { reportQuery } from '../../../shared/schemas/verification-compare.ts'

const plain = tellingNow()
afterEach(() => tell(plain))

const queryOf = (earlier: string | null) => {
  const markup = renderToStaticMarkup(<ReportLink record="one" earlier={earlier} />)
  const [, query = ''] = /href="\/api\/verifications\/one\/report\?([^"]*)"/.exec(markup) ?? []
  return Object.fromEntries(new URLSearchParams(query.replaceAll('&amp;', '&')))
}

describe('The link to the report of a record', () => {
  it.each([
    ['en', '.', { lang: 'en', decimal: 'point' }],
    ['en', ',', { lang: 'en', decimal: 'comma' }],
    ['de', ',', { lang: 'de', decimal: 'comma' }],
    ['de', '.', { lang: 'de', decimal: 'point' }],
  ] as const)('asks for how the page speaks: %s with "%s"', (language, mark, expected) => {
    tell({ ...plain, language, mark })
    expect(queryOf(null)).toEqual(expected)
    expect(queryOf('two')).toEqual({ ...expected, with: 'two' })
    expect(reportQuery.safeParse(queryOf('two')).success).toBe(true)
  })

  it('asks for the units that the reader chose', () => {
    const within = renderToStaticMarkup(
      <UnitsContext value={unitsOf({ force: 'lbf', speed: 'ft/min', temperature: '°F', length: 'in' })}>
        <ReportLink record="one" earlier={null} />
      </UnitsContext>,
    )
    expect(within).toContain('units=lbf%2Cft%2Fmin%2CF%2Cin')
  })
})

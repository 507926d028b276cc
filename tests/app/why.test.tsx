import { createElement } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, it } from 'vitest'
import { UnitsProvider } from '../../app/_ui/units.tsx'
import { WhyPanel } from '../../app/_ui/Why.tsx'
import type { Figure } from '../../shared/schemas/now.ts'

const figure = (part: Partial<Figure>, source?: string): Figure => ({
  value: 3,
  unit: '%',
  u: 0.6,
  uRandom: 0.1,
  U: 1.2,
  k: 2,
  dof: null,
  limit: null,
  verdict: { state: 'not-done', reason: { kind: 'no-limit' }, sentence: '' },
  window: null,
  timeMs: 0,
  waiting: null,
  why: {
    formula: 'a formula',
    source: 'a source',
    inputs: [{ name: 'gain', value: 100, unit: '%', u: 0.5, ...(source === undefined ? {} : { source }) }],
  },
  ...part,
})
const shown = (of: Figure) =>
  renderToStaticMarkup(createElement(UnitsProvider, null, createElement(WhyPanel, { id: 'why', figure: of })))

describe('the panel behind a figure', () => {
  it('says where an uncertainty is from, and that ± rests on an assumed one', () => {
    const html = shown(figure({ assumed: true }, 'assumed: common practice, not in the config'))
    expect(html).toContain('± rests on an assumed uncertainty')
    expect(html).toContain('<td>assumed: common practice, not in the config</td>')
    expect(html).toContain('Where u is from')
  })
  it('says neither where nothing is assumed and no input tells its source', () => {
    expect(shown(figure({}, 'set in the config'))).not.toContain('rests on an assumed')
    expect(shown(figure({}))).not.toContain('Where u is from')
  })
})

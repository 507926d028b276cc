import { describe, expect, it } from 'vitest'
import { results } from '../../gateway/http/training-examples.ts'
import { resultsCsv } from '../../gateway/training/results-csv.ts'

const [example] = results.results
const rowOf = (change: object) =>
  resultsCsv([{ ...(example as NonNullable<typeof example>), ...change }]).split('\r\n')[1]

describe('results as CSV', () => {
  it('have a row an exercise below the names of the columns, each line ended by CR LF', () => {
    const lines = resultsCsv(results.results).split('\r\n')
    expect(lines).toHaveLength(3)
    expect(lines[0]?.split(',').length).toBe(20)
    expect(lines[2]).toBe('')
  })

  it('leave a cell empty for what is not known, and say that nothing is wrong in words', () => {
    expect(rowOf({ points: null, shortestSeconds: null, truth: [], answer: [] })).toContain(
      ',nothing is wrong,nothing is wrong,true,,8,812,,1,',
    )
    expect(rowOf({ answer: null })).toContain('operator_side,,true,7,8')
  })

  it('keep a name as it was typed, but for what a spreadsheet would run', () => {
    expect(rowOf({ trainee: 'Zoë "Z", Ω' })).toContain(',"Zoë ""Z"", Ω",')
    expect(rowOf({ trainee: '=1+1' })).toContain(",'=1+1,")
  })
})

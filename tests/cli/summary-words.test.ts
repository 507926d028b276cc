import { expect, it } from 'vitest'
import { summaryInWords } from '../../gateway/cli/summary-words.ts'
import { exampleSummary } from '../../gateway/http/routes/zone-summary.ts'
import { timeWordsIn } from '../../gateway/local-time.ts'

it('a note cannot command the terminal it is printed at, nor turn the text around it', () => {
  const note = { id: 1, timeMs: 0, kind: 'note', zone: 'z', who: 'A. Fitter', data: {} } as const
  const text = 'one\u001b[2Jtwo\u009b31mthree\u0007 \u202efour\nfive'
  const lines = summaryInWords({ ...exampleSummary, notes: [{ ...note, text }] }, timeWordsIn('UTC'))
  const printed = lines.find((line) => line.includes('three'))
  expect(printed).toContain('one [2Jtwo 31mthree four five')
  expect(lines.join('')).not.toMatch(/[\p{Cc}\p{Cf}]/u)
})

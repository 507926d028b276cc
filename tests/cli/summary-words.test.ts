import { expect, it } from 'vitest'
import { summaryInWords } from '../../gateway/cli/summary-words.ts'
import { exampleSummary } from '../../gateway/http/routes/zone-summary.ts'
import { timeWordsIn } from '../../gateway/local-time.ts'
import { namedUnits } from '../../shared/unit-choice.ts'

it('a note cannot command the terminal it is printed at, nor turn the text around it', () => {
  const note = { id: 1, timeMs: 0, kind: 'note', zone: 'z', who: 'A. Fitter', data: {} } as const
  const text = 'one\u001b[2Jtwo\u009b31mthree\u0007 \u202efour\nfive'
  const lines = summaryInWords({ ...exampleSummary, notes: [{ ...note, text }] }, timeWordsIn('UTC'))
  const printed = lines.find((line) => line.includes('three'))
  expect(printed).toContain('one [2Jtwo 31mthree four five')
  expect(lines.join('')).not.toMatch(/[\p{Cc}\p{Cf}]/u)
})

it('is told in the units that were asked for, and says so; what people typed and what is kept stay as they are', () => {
  const us = namedUnits('us')
  if (us === null) throw new RangeError('us')
  const note = { id: 1, timeMs: 0, kind: 'note', zone: 'z', who: 'A. Fitter', data: {}, text: 'set to 100 N' } as const
  // 100 lbf = 444.82216 N, 32 °F = 0 °C (NIST SP 811 (2008), B.8).
  const summary = {
    ...exampleSummary,
    notes: [note],
    alarms: [{ ...note, id: 2, kind: 'alarm' as const, text: 'Infeed: Force 444.8 ± 4.4 N, limit ± 200 N' }],
    means: [{ what: 'temperature' as const, unit: '°C', value: 0, U: 0.5, minutes: 12 }],
    sides: [{ side: 'drive_side' as const, mean: 444.82, lo: 440.3, hi: 449.2, samples: 12 }],
  }
  const before = JSON.stringify(summary)
  const text = summaryInWords(summary, timeWordsIn('UTC'), us).join('\n')
  expect(text).toContain('Told in lbf, lbf/in, ft/min, in, °F')
  expect(text).toContain('set to 100 N')
  expect(text).toContain('Infeed: Force 100.00 ± 0.99 lbf, limit ± 45 lbf')
  expect(text).toContain('32.00 ± 0.90 °F')
  expect(text).toMatch(/mean 100 lbf +98\.983 to 100\.98 lbf/)
  expect(text.replace('set to 100 N', '')).not.toMatch(/\d (N|m\/s|°C|K)\b/)
  expect(summaryInWords(summary, timeWordsIn('UTC')).join('\n')).toContain('Told in N, N/m, m/min, mm, °C')
  expect(JSON.stringify(summary)).toBe(before)
})

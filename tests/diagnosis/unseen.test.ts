import { describe, expect, it } from 'vitest'
import { diagnose } from '../../lib/diagnosis/diagnose.ts'
import { unseenFromSpectrum } from '../../lib/diagnosis/extract/unseen.ts'
import { mainsUnseen } from '../../lib/spectrum/hidden-mains.ts'
import type { ZoneSpectrum } from '../../shared/schemas/spectrum.ts'
import { CONTEXT, feature } from './support/pictures.ts'

describe('mains that the sampling cannot see', () => {
  // |50 − 1 · 100| = 50 Hz, half of 100; |50 − 1 · 50| = 0; |50 − 1 · 90| = 40 and |60 − 1 · 90| = 30: both show.
  it.each([
    [100, /Mains at 50 Hz would show so near 50/],
    [50, /Mains at 50 Hz would show at about 0/],
    [120, /Mains at 60 Hz would show so near 60/],
  ])('at %d a second: it says why, and to poll at another rate', (rate, why) => {
    expect(mainsUnseen(rate)).toMatch(why)
    expect(mainsUnseen(rate)).toMatch(/Poll at another rate/)
  })
  it('both show at 90 a second', () => expect(mainsUnseen(90)).toBeNull())

  it('is missing evidence of mains hum with its reason', { timeout: 120_000 }, () => {
    const signal = { state: 'told', rateHz: 100, binHz: 100 / 1024 }
    const unseen = unseenFromSpectrum({ signals: { drive_side: signal } } as unknown as ZoneSpectrum)
    const features = [feature('noise', 3, 0.1, 'drive_side'), feature('noise', 3, 0.1, 'operator_side')]
    const { causes } = diagnose({ features, unseen, context: CONTEXT })
    const missing = causes.find(({ cause }) => cause === 'mains-hum')?.missing ?? []
    const sentence = missing.find((one) => one.feature === 'mains-running')?.sentence ?? ''
    expect(sentence).toMatch(/is not known: sampled 100 times a second the mains cannot be seen/)
  })
})

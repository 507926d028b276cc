import { missingCaptures, newest, sideOf } from '../captured.ts'
import { captureOf } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { atMost, listed } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const electricDriveNoise: VerificationTest = {
  id: 'electric.drive-noise',
  stage: 'electric',
  title: 'Noise with the drive enabled',
  proves: 'The drives do not disturb the signals.',
  effect: 'Broadband noise that comes with the drive, web or no web, hides what the web does.',
  caution: 'Only with guards closed, nobody at the roller and the lock-out removed under the site’s procedure.',
  steps: ['Without web: one capture with the drive off, one with it enabled and standing.'],
  plan: ({ limits }) => ({
    fields: [],
    captures: [
      captureOf('drive-off', 'Drive off', 'Leave everything still.', 'any', 10),
      captureOf('drive-on', 'Drive enabled, standing', 'Leave everything still.', 'any', 10),
    ],
    limits: [listed('Noise enabled over noise off', atMost(limits.drive_noise_ratio, 'times'))],
    notFor: null,
  }),
  judge(context, evidence) {
    const missing = missingCaptures(this.plan(context).captures, evidence)
    if (missing !== '') return notDone(`missing: ${missing}`)
    const limit = atMost(context.limits.drive_noise_ratio, 'times')
    return resultOf(
      context.sides.map((side) => {
        const name = { id: 'drive-noise-ratio', title: 'Noise with the drive over noise without', side }
        const off = sideOf(newest(evidence, 'drive-off'), side)
        const on = sideOf(newest(evidence, 'drive-on'), side)
        if (off === undefined || on === undefined || off.noise === null || on.noise === null)
          return untold(name, '', 'no good samples of this side', limit)
        const step = off.step ?? 0
        // Noise under the resolution cannot be told from none: the resolution's own stands for it.
        const quiet = Math.max(off.noise, step / Math.sqrt(12))
        if (!(quiet > 0)) return untold(name, '', 'the signal is perfectly still: it may be frozen', limit)
        const ratio = on.noise / quiet
        return measured({
          ...name,
          value: ratio,
          unit: 'times',
          uRandom:
            ratio *
            Math.hypot(1 / Math.sqrt(2 * Math.max(1, off.good - 1)), 1 / Math.sqrt(2 * Math.max(1, on.good - 1))),
          limit,
          formula: '1 σ enabled / 1 σ off',
          source: 'u of a standard deviation, σ/√(2(n − 1)) (JCGM 100, E.4.3)',
          inputs: [input('enabled', on.noise, 'N'), input('off', off.noise, 'N')],
        })
      }),
      ['Shield to earth at one end, signal cables away from motor cables, filter at the drive.'],
    )
  },
}

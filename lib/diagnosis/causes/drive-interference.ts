import { all, amplitude, type Cause } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

/** Noise of a sound side standing still, % of span (see the catalogue). */
const STILL = 0.03

export const driveInterference: Cause = {
  id: 'drive-interference',
  title: 'Interference from a drive',
  words: 'Broadband noise whenever a drive is enabled, web or no web.',
  source: 'common practice',
  prior: 0.025,
  severity: sizes('noise it makes', '% of span', 0.03, 20),
  predict: (percent, { context }) => [
    all('drive-noise-ratio', amplitude(percent / STILL, 2)),
    all('noise', amplitude((percent * 100) / usualForce(context), 1.5)),
  ],
  remedy: 'Lead signal cables away from motor cables, check filter and earthing of the drive as its maker says.',
}

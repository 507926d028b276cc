import { all, amplitude, type Cause } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

export const mainsHum: Cause = {
  id: 'mains-hum',
  title: 'Mains hum',
  words: 'A line at the mains or its alias, running or stopped: a ground loop or a shield open at the wrong end.',
  source: 'alias |f − n fs| of 50 or 60 Hz; variance of a sine, a²/2',
  prior: 0.025,
  severity: sizes('amplitude', '% of span', 0.03, 20),
  predict: (percent, { context }) => [
    all('static-mains', amplitude(percent, 1.5)),
    all('mains-running', amplitude(percent, 1.5)),
    all('static-noise', amplitude(percent / Math.SQRT2, 1.5)),
    all('noise', amplitude((percent * 100) / (Math.SQRT2 * usualForce(context)), 1.5)),
  ],
  remedy: 'Earth the shield at one end only and lead signal and mains cables apart, as amplifier and site rules say.',
}

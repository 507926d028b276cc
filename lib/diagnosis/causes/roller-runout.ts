import { all, amplitude, at, type Cause, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const rollerRunout: Cause = {
  id: 'roller-runout',
  title: 'Runout of the roller',
  words: 'The roller’s surface is off its axis: a line once per turn, about constant with speed.',
  source: 'span length that changes once a turn; dial gauge',
  prior: 0.025,
  severity: sizes('amplitude', '% of the side’s force', 0.3, 100),
  predict: (percent) => [
    all('once-per-turn', amplitude(percent, 1.6)),
    all('speed-exponent', at(0.1, 0.35)),
    zone('runout', amplitude(0.25, 2.2)),
    all('noise', amplitude(percent / Math.SQRT2, 1.8)),
  ],
  remedy: 'Locked out, measure runout by a dial; true up, regrind or change the roller.',
}

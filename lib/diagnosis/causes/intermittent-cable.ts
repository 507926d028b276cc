import { amplitude, type Cause, own, yes } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const intermittentCable: Cause = {
  id: 'intermittent-cable',
  title: 'Intermittent cable or connector',
  words: 'The contact breaks for moments, more when the cable moves: short spikes to the rail.',
  source: 'common practice',
  prior: 0.035,
  severity: sizes('spikes in 1000 samples', '', 0.1, 200),
  predict: (rate) => [
    own('spikes', amplitude(rate, 3)),
    own('bad-stretches', amplitude(rate, 6)),
    own('wiggle-spikes', amplitude(15, 4)),
    own('wiggle-bad', amplitude(5, 6)),
    own('cables-seated', yes(0.4)),
    own('noise', amplitude(rate / 10, 5)),
    own('follows-cell', yes(0.75)),
  ],
  remedy: 'Locked out, seat the connector and relieve the strain; a cable that breaks when moved is changed.',
}

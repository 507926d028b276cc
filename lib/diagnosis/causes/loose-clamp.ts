import { amplitude, type Cause, own, spread, yes, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const looseClamp: Cause = {
  id: 'loose-clamp',
  title: 'Loose clamp or bolt',
  words: 'Something that should be tight moves: steps, poor repeatability, a rattle once per turn.',
  source: 'common practice',
  prior: 0.035,
  severity: sizes('scatter it makes', '% of span', 0.2, 20),
  predict: (percent) => [
    own('bolts-tight', yes(0.12)),
    own('clamps-crosswise', yes(0.5)),
    own('repeatability', amplitude(percent, 1.8)),
    own('hysteresis', amplitude(percent / 2, 2)),
    own('weight-zero-return', spread(percent)),
    own('zero-return', spread(percent)),
    own('zero-step', spread(percent)),
    own('offset', spread(percent)),
    own('once-per-turn', amplitude(percent / 2, 2.5)),
    own('noise', amplitude(percent / 3, 2.5)),
    zone('steps', amplitude(4, 2)),
  ],
  remedy:
    'Locked out and with the roller held, tighten clamp and bolts to the maker’s torque, crosswise; zero and span again.',
}

import { amplitude, type Cause, own, spread, yes, zone } from '../cause.ts'
import { runningRatio, weightRatio } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

/**
 * Friction holds the cell within half of the hysteresis of where it should be, anywhere between, evenly: 1/(2√3) of it
 * (play operator, Coulomb friction; JCGM 100, 4.3.7).
 */
const HELD = 0.29

/** Share of force that a bound seat carries past the cell, per share of hysteresis (common practice). */
const BYPASS = 0.5

/** Wait for each % of span, ms: a step of a tenth of the span that takes its usual 1.2 s (common practice). */
const STUCK_MS = 120

export const binding: Cause = {
  id: 'binding',
  title: 'Binding: no free play',
  words: 'The shaft is clamped askew or has no free play: part of the force goes past the cell and sticks.',
  source: 'friction beside the measuring path; sizes: common practice',
  prior: 0.035,
  severity: sizes('hysteresis it makes', '% of span', 0.3, 30),
  predict: (percent, seat) => {
    const ratio = 1 - (BYPASS * percent) / 100
    return [
      own('free-play', yes(0.06)),
      own('bushing-flush', yes(0.7)),
      own('clamps-crosswise', yes(0.6)),
      own('hysteresis', amplitude(percent, 1.6)),
      // The same friction holds it the same way each time.
      own('repeatability', amplitude(percent / 10, 2.5)),
      own('nonlinearity', amplitude(percent / 4, 2)),
      own('weight-zero-return', spread(percent / 2)),
      own('zero-return', spread(percent * HELD)),
      // It sits where it last slid to: readings at two tensions lie on any line.
      own('offset', spread(percent * 1.5)),
      zone('slope-common', spread(percent)),
      zone('slope-difference', spread(percent)),
      // It follows a step only once that has passed what holds it.
      zone('step-delay', spread(percent * STUCK_MS)),
      ...runningRatio(seat, ratio),
      ...weightRatio(seat, ratio),
    ]
  },
  remedy:
    'Locked out and with the roller held, loosen, let the shaft find its free play, tighten crosswise as its maker says.',
}

import { all, amplitude, type Cause, set, spread, yes, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const saturation: Cause = {
  id: 'saturation',
  title: 'Range too small: saturation',
  words: 'The signal comes to the end of its range: flat tops, and what is above is lost.',
  source: 'skewed histogram at a range end; NAMUR NE 43 for 4–20 mA',
  prior: 0.018,
  severity: sizes('share of samples at the end', '%', 0.1, 100),
  predict: (percent) => [
    all('saturated-share', amplitude(percent, 4)),
    all('in-band', yes(0.5)),
    // A signal that stands at the end for good is a number that no longer moves.
    ...(percent < 90
      ? []
      : [
          all('moves', yes(0.4)),
          all('alive', yes(0.4)),
          all('distinct-values', set(1.5, 2)),
          all('noise', set(0.003, 5)),
        ]),
    all('nonlinearity', amplitude(Math.max(1, percent / 10), 5)),
    // A line through readings that stand still where the web pulls more is flat, and meets nothing far off.
    all('offset', spread(Math.max(8, percent * 0.7))),
    zone('agreement-now', spread(percent / 4)),
    zone('slope-common', spread(Math.max(10, percent))),
    zone('slope-difference', spread(8)),
    // A shunt or a weight that goes beyond the end is cut off there, however seldom the web does.
    all('shunt-error', spread(30)),
    zone('weight-common', spread(Math.max(5, percent / 2))),
    zone('weight-difference', spread(5)),
    zone('imbalance-now', spread(percent / 5)),
  ],
  remedy:
    'Choose a range or gain that holds the largest tension with the roller’s weight; a larger cell where none does.',
}

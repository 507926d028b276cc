import { all, amplitude, type Cause, spread, yes, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const saturation: Cause = {
  id: 'saturation',
  title: 'Range too small: saturation',
  words: 'The signal comes to the end of its range: flat tops, and what is above is lost.',
  source: 'skewed histogram at a range end; NAMUR NE 43 for 4–20 mA',
  prior: 0.018,
  severity: sizes('share of samples at the end', '%', 0.1, 100),
  predict: (percent) => [
    all('saturated-share', amplitude(percent, 3)),
    all('in-band', yes(0.5)),
    all('nonlinearity', amplitude(percent / 10, 5)),
    zone('agreement-now', spread(percent / 5)),
    zone('slope-common', spread(percent / 2)),
    zone('imbalance-now', spread(percent / 5)),
  ],
  remedy:
    'Choose a range or gain that holds the largest tension with the roller’s weight; a larger cell where none does.',
}

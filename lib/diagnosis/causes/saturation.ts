import { all, amplitude, type Cause, own, set, spread, yes, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

/** From this share on whole running states, and not only their noise, stand at the end, % (common practice). */
const SOME_STATES = 40

/** What is lost of the mean, %: a little while only the tops of the noise are cut, as much as there is above that. */
const cutOff = (percent: number): number => (percent < SOME_STATES ? percent / 20 : percent)

export const saturation: Cause = {
  id: 'saturation',
  title: 'Range too small: saturation',
  words: 'The signal comes to the end of its range: flat tops, and what is above is lost.',
  source: 'skewed histogram at a range end; NAMUR NE 43 for 4–20 mA',
  prior: 0.018,
  oneSideFirst: true,
  severity: sizes('share of samples at the end', '%', 0.1, 100),
  predict: (percent) => [
    // The side that carries more comes to the end first.
    own('saturated-share', amplitude(percent, 4)),
    all('in-band', yes(0.5)),
    // A signal that stands at the end for good is a number that no longer moves; the other side is there by then too.
    ...(percent < 90
      ? []
      : [
          all('moves', yes(0.4)),
          all('alive', yes(0.4)),
          all('distinct-values', set(1.5, 2)),
          all('noise', set(0.003, 5)),
        ]),
    // A line through readings that stand still where the web pulls more is flat, and meets nothing far off.
    all('offset', spread(cutOff(percent))),
    zone('agreement-now', spread(cutOff(percent) / 4)),
    zone('slope-common', spread(cutOff(percent))),
    zone('slope-difference', spread(cutOff(percent) / 2)),
    zone('imbalance-now', spread(cutOff(percent) / 5)),
    // A shunt or a weight that goes beyond the end is cut off there, however seldom the web does.
    all('shunt-error', spread(30)),
    ...(percent < SOME_STATES
      ? []
      : [all('nonlinearity', amplitude(percent / 10, 5)), zone('weight-common', spread(percent / 4))]),
  ],
  remedy:
    'Choose a range or gain that holds the largest tension with the roller’s weight; a larger cell where none does.',
}

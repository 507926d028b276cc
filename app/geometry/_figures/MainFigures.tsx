import { entriesOf } from '../../../lib/geometry/sided.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import type { Figures } from '../_model/compute.ts'
import type { Side } from '../_model/edits.ts'
import { Explained } from './Explained.tsx'
import { explainTarget, explainWorked } from './explanations.ts'
import styles from './Figures.module.css'
import { angleWithU, plainWithU } from './words.ts'

/** Wrap, force factor and the bare roller: what the layout alone tells. */
export function MainFigures({ figures }: { readonly figures: Figures }) {
  const units = useUnits()
  const { normal } = figures.levels
  const { expected, uncertain } = normal
  const perSide = (text: (side: Side) => string) =>
    entriesOf(expected.sides).map(([side]) => (
      <p key={side}>
        <SideSwatch side={side} />
        <span className="heard-only">{SIDES[side].name} </span>
        {text(side)}
      </p>
    ))
  const of = new Map(entriesOf(uncertain.sides))
  return (
    <ul className={styles.rows}>
      <Explained
        title="Wrap"
        meaning="how far the web bends round the measuring roller"
        explanation={explainWorked(normal, figures, 'wrap', ({ wrap }) => wrap, units)}
        testId="figure-wrap"
      >
        <p>{angleWithU(uncertain.wrap.value, uncertain.wrap.U)}</p>
      </Explained>
      <Explained
        title="Angle to set"
        meaning="the direction in which the web pulls"
        explanation={explainTarget(normal, figures)}
      >
        <p>{expected.target.words.sentence}</p>
      </Explained>
      <Explained
        title="Force factor"
        meaning="newtons along the arrow per newton of web tension"
        explanation={explainWorked(normal, figures, 'force factor', firstSide('forceFactor'), units)}
        testId="figure-force-factor"
      >
        {perSide((side) => {
          const k = of.get(side)?.forceFactor
          return k === undefined ? 'unknown' : plainWithU(k.value, k.U, '')
        })}
      </Explained>
      <Explained
        title="Bare roller"
        meaning="its weight along each arrow, which the zero takes away"
        explanation={explainWorked(normal, figures, 'bare roller', firstSide('bareForce'), units)}
      >
        {perSide((side) => {
          const bare = of.get(side)?.bareForce
          return bare === undefined ? 'unknown' : units.figure(bare.value, bare.U, 'N').text
        })}
      </Explained>
      <Explained
        title="Momentum, m·v²"
        meaning="the part of the tension that only bends the moving web round the roller"
        explanation={explainWorked(normal, figures, 'momentum', () => undefined, units)}
      >
        <p>{units.plain(expected.momentum, 'N', false)}</p>
      </Explained>
    </ul>
  )
}

/** Both sides rest on the same inputs: the first stands for both. */
const firstSide =
  (figure: 'forceFactor' | 'bareForce') =>
  ({ sides }: Figures['levels']['normal']['uncertain']) =>
    entriesOf(sides)[0]?.[1][figure]

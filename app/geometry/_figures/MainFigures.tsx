import { entriesOf } from '../../../lib/geometry/sided.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import type { Figures } from '../_model/compute.ts'
import type { Side } from '../_model/edits.ts'
import { Explained } from './Explained.tsx'
import { explainBare, explainForceFactor, explainTarget, explainWrap } from './explanations.ts'
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
        explanation={explainWrap(normal, units)}
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
        explanation={explainForceFactor(normal, units)}
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
        explanation={explainBare(normal, figures, units)}
      >
        {perSide((side) => {
          const bare = of.get(side)?.bareForce
          return bare === undefined ? 'unknown' : units.figure(bare.value, bare.U, 'N').text
        })}
      </Explained>
    </ul>
  )
}

import { arrowFromWords, arrowWords } from '../../../lib/geometry/arrow-words.ts'
import { degrees, radians } from '../../../lib/geometry/vector.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { arrowOf, type Side, withArrow } from '../_model/edits.ts'
import { ChoiceField } from './Choice.tsx'
import styles from './Form.module.css'
import { NumberField } from './NumberField.tsx'
import type { FormProps } from './RollerTable.tsx'
import { TargetFields } from './TargetFields.tsx'

interface ArrowFieldsProps extends FormProps {
  readonly sides: readonly Side[]
  /** The angle to set, degrees in the model; null while it is unknown. */
  readonly targetDeg: number | null
}

/** Each arrow as it is set: by inclinometer in words, or in degrees of the model. */
export function ArrowFields(props: ArrowFieldsProps) {
  const { sides, targetDeg, onChange } = props
  return (
    <div className={styles.group}>
      {sides.map((side) => (
        <ArrowFieldset key={side} side={side} {...props} />
      ))}
      <TargetFields {...props} />
      <div className={styles.buttons}>
        <button
          type="button"
          className="control"
          disabled={targetDeg === null}
          onClick={() => {
            if (targetDeg !== null)
              onChange((now) => sides.reduce((drawing, side) => withArrow(drawing, side, rounded(targetDeg)), now))
          }}
        >
          Draw {sides.length > 1 ? 'both' : 'it'} at the angle to set
        </button>
      </div>
    </div>
  )
}

const rounded = (angle: number): number => Math.round(angle * 10) / 10

function ArrowFieldset({ side, drawing, onChange, onSettle }: ArrowFieldsProps & { readonly side: Side }) {
  const angle = arrowOf(drawing, side)
  const words = arrowWords(radians(angle))
  const set = (value: number, gesture?: string) => onChange((now) => withArrow(now, side, value), gesture)
  const fromWords = (change: Partial<Parameters<typeof arrowFromWords>[0]>, gesture?: string) => {
    const next = degrees(arrowFromWords({ ...words, ...change }))
    if (Number.isFinite(next)) set(next, gesture)
  }
  return (
    <fieldset className={styles.side}>
      <legend>
        <SideSwatch side={side} />
        {SIDES[side].title}: arrow as it is set
      </legend>
      <div className={styles.fields}>
        <NumberField
          label="From vertical"
          unit="°"
          value={rounded(degrees(words.fromVertical))}
          least={0}
          most={90}
          onChange={(value) => fromWords({ fromVertical: radians(value) }, `vertical ${side}`)}
          onSettle={onSettle}
          hint="as the inclinometer shows"
        />
        <ChoiceField
          label="Pointing"
          value={words.pointing}
          options={[
            ['up', 'up'],
            ['down', 'down'],
            ...(words.pointing === 'level' ? ([['level', 'level']] as const) : []),
          ]}
          onChange={(pointing) => fromWords({ pointing })}
        />
        <ChoiceField
          label="Leaning"
          value={words.leaning}
          options={[
            ['upstream', 'upstream'],
            ['downstream', 'downstream'],
            ...(words.leaning === 'neither' ? ([['neither', 'neither']] as const) : []),
          ]}
          onChange={(leaning) => fromWords({ leaning })}
        />
        <NumberField
          label="In the model"
          unit="°"
          value={angle}
          least={-360}
          most={360}
          onChange={(value) => set(value, `angle ${side}`)}
          onSettle={onSettle}
          hint="counter-clockwise from downstream"
          testId={`arrow-deg-${side}`}
        />
      </div>
    </fieldset>
  )
}

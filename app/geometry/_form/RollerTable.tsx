import stacked from '../../_ui/Stacked.module.css'
import { WideBox } from '../../_ui/WideBox.tsx'
import { MOST_ROLLERS, passedOnOtherSide, withoutRoller, withRoller, withRollerAdded } from '../_model/edits.ts'
import {
  type Drawing,
  type DrawnRoller,
  isNeighbour,
  placeKey,
  type RollerPlace,
  rollersOf,
} from '../_model/rollers.ts'
import styles from './Form.module.css'
import { NumberField } from './NumberField.tsx'

export interface FormProps {
  readonly drawing: Drawing
  readonly onChange: (next: (drawing: Drawing) => Drawing, gesture?: string) => void
  readonly onSettle: () => void
}

interface RollerTableProps extends FormProps {
  readonly selected: string | null
  /** The view is from the other end: what turns clockwise in the model is seen to turn the other way. */
  readonly isMirrored: boolean
  readonly onSelect: (key: string) => void
}

const ADD_WORDS = { before: 'Add a roller before', after: 'Add a roller after' } as const
const NEIGHBOUR_WORDS = { before: 'neighbour before', after: 'neighbour after' } as const

/** Every roller in figures, in the web's order. */
export function RollerTable(props: RollerTableProps) {
  const { drawing, onChange } = props
  return (
    <div className={styles.rollers}>
      <WideBox label="Rollers, table">
        <table className={`${styles.table} ${stacked.stacked}`}>
          <caption className="heard-only">Rollers in the order of the web’s travel</caption>
          <thead>
            <tr>
              <th scope="col">Roller</th>
              <th scope="col">Downstream, mm</th>
              <th scope="col">Up, mm</th>
              <th scope="col">Diameter, mm</th>
              <th scope="col">Turned by the web</th>
              <th scope="col">
                <span className="heard-only">Remove</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {rollersOf(drawing).map(({ place, roller }) => (
              <RollerRow key={placeKey(place)} {...props} place={place} roller={roller} />
            ))}
          </tbody>
        </table>
      </WideBox>
      <div className={styles.buttons}>
        {(['before', 'after'] as const).map((group) => (
          <button
            key={group}
            type="button"
            className="control"
            disabled={drawing.rollers[group].length >= MOST_ROLLERS}
            onClick={() => onChange((now) => withRollerAdded(now, group))}
          >
            {ADD_WORDS[group]}
          </button>
        ))}
      </div>
    </div>
  )
}

function RollerRow({
  drawing,
  onChange,
  onSettle,
  selected,
  isMirrored,
  onSelect,
  place,
  roller,
}: RollerTableProps & { readonly place: RollerPlace; readonly roller: DrawnRoller }) {
  const key = placeKey(place)
  const isClockwise = (roller.turn === 'clockwise') !== isMirrored
  const set = (change: Partial<DrawnRoller>, field: string) =>
    onChange((now) => withRoller(now, place, change), `type ${key} ${field}`)
  return (
    <tr data-selected={selected === key} onFocus={() => onSelect(key)}>
      <th scope="row">
        <label className={styles.field}>
          <span className="heard-only">Name of the roller</span>
          <input
            type="text"
            maxLength={60}
            value={roller.name}
            onChange={(event) => {
              if (event.target.value !== '') set({ name: event.target.value }, 'name')
            }}
            onBlur={onSettle}
          />
          <span className={styles.hint}>{roleOf(drawing, place)}</span>
        </label>
      </th>
      {(
        [
          ['x_mm', 'downstream', 'Downstream, mm', undefined],
          ['y_mm', 'up', 'Up, mm', undefined],
          ['diameter_mm', 'diameter', 'Diameter, mm', 0],
        ] as const
      ).map(([field, words, head, least]) => (
        <td key={field} data-of={head}>
          <NumberField
            label={`${roller.name}, ${words}`}
            unit="mm"
            isLabelHidden
            value={roller[field]}
            onChange={(value) => set({ [field]: value }, field)}
            onSettle={onSettle}
            testId={`${key}-${field}`}
            {...(least === undefined ? {} : { least, isOpen: true, most: 5000 })}
          />
        </td>
      ))}
      <td data-of="Turned by the web">
        <button
          type="button"
          className="control"
          data-testid={`${key}-turn`}
          aria-label={`${roller.name} turns ${isClockwise ? 'clockwise' : 'counter-clockwise'} in this view; pass the web on its other side`}
          onClick={() => onChange((now) => passedOnOtherSide(now, place))}
        >
          <span aria-hidden="true">{isClockwise ? '↻' : '↺'}</span> other side
        </button>
      </td>
      <td>
        {place.group !== 'measuring' && (
          <button
            type="button"
            className="control"
            disabled={drawing.rollers[place.group].length < 2}
            aria-label={`Remove ${roller.name}`}
            onClick={() => onChange((now) => withoutRoller(now, place))}
          >
            ×
          </button>
        )}
      </td>
    </tr>
  )
}

function roleOf(drawing: Drawing, place: RollerPlace): string {
  if (place.group === 'measuring') return 'the measuring roller'
  if (isNeighbour(drawing, place)) return NEIGHBOUR_WORDS[place.group]
  return place.group
}

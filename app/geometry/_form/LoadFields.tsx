import { MOUNTS, type MountKind, ROLLER_KINDS, type RollerKind } from '../../../lib/geometry/mounting.ts'
import type { Drawing } from '../_model/rollers.ts'
import { ChoiceField } from './Choice.tsx'
import styles from './Form.module.css'
import { type Part, PartFields, without } from './PartFields.tsx'
import type { FormProps } from './RollerTable.tsx'

const TENSION: readonly Part[] = (
  [
    ['low_n', 'Low tension'],
    ['normal_n', 'Normal tension'],
    ['high_n', 'High tension'],
  ] as const
).map(([key, label]) => ({
  label,
  unit: 'N',
  of: ({ tension }) => tension[key],
  put: (drawing, value) => ({ ...drawing, tension: { ...drawing.tension, [key]: value } }),
  least: 0,
  isOpen: true,
  hint: 'of the whole web',
  testId: key,
}))

const LOAD: readonly Part[] = [
  ...TENSION,
  {
    label: 'Overload factor',
    unit: '',
    of: ({ tension }) => tension.overload_factor ?? 2,
    put: (drawing, value) => ({ ...drawing, tension: { ...drawing.tension, overload_factor: value } }),
    least: 1,
    most: 10,
    hint: 'times high tension: a jam or a break; 2 is common practice',
  },
  {
    label: 'Fastest speed',
    unit: 'm/min',
    of: ({ tension }) => tension.fastest_m_min,
    put: (drawing, value) => ({ ...drawing, tension: { ...drawing.tension, fastest_m_min: value } }),
    least: 0,
    isOpen: true,
  },
]

const ROLLER: readonly Part[] = [
  {
    label: 'Mass on the cells',
    unit: 'kg',
    of: ({ roller_mass_kg: mass }) => mass,
    put: (drawing, value) => ({ ...drawing, roller_mass_kg: value }),
    least: 0,
    isOpen: true,
  },
  {
    label: 'Basis weight',
    unit: 'g/m²',
    of: ({ basis_weight_gsm: weight }) => weight ?? 0,
    put: (drawing, value) => ({ ...drawing, basis_weight_gsm: value }),
    least: 0,
    hint: 'with width and speed the m·v² that takes force off',
  },
  {
    label: 'Friction on roller',
    unit: '',
    of: ({ friction }) => friction,
    put: (drawing, value) => ({ ...drawing, friction: value }),
    clear: (drawing) => without(drawing, 'friction'),
    least: 0,
    isOpen: true,
    most: 2,
    hint: 'empty: not known',
  },
  {
    label: 'Local gravity',
    unit: 'm/s²',
    of: ({ gravity_m_s2: gravity }) => gravity ?? 9.80665,
    put: (drawing, value) => ({ ...drawing, gravity_m_s2: value }),
    least: 9.7,
    most: 9.9,
  },
]

const kinds = <K extends string>(table: Readonly<Record<K, unknown>>): [K, string][] =>
  (Object.keys(table) as K[]).map((kind) => [kind, kind])

/** Tensions, roller, web and mount. */
export function LoadFields(props: FormProps) {
  const { drawing, onChange } = props
  const rollerKind: RollerKind = drawing.roller_kind ?? 'dead-shaft idler'
  const mount: MountKind = drawing.mount ?? 'flange'
  const isSingle = 'single' in drawing.arrows_deg
  const set = (change: Partial<Drawing>) => onChange((now) => ({ ...now, ...change }))
  const allowed = kinds(ROLLER_KINDS).filter(([kind]) => (ROLLER_KINDS[kind].cells === 1) === isSingle)
  return (
    <div className={styles.group}>
      <PartFields {...props} parts={LOAD} />
      <PartFields {...props} parts={ROLLER} />
      <div className={styles.fields}>
        <ChoiceField
          label="Roller"
          value={rollerKind}
          options={allowed.some(([kind]) => kind === rollerKind) ? allowed : [[rollerKind, rollerKind], ...allowed]}
          onChange={(kind) => set({ roller_kind: kind })}
          hint={`on the cells: ${ROLLER_KINDS[rollerKind].mass}`}
        />
        <ChoiceField
          label="Mount"
          value={mount}
          options={kinds(MOUNTS)}
          onChange={(kind) => set({ mount: kind })}
          hint={MOUNTS[mount].how}
        />
        <ChoiceField
          label="Seen from the operator side, the web runs"
          isWide
          value={drawing.runs_seen_from_operator_side ?? 'not told'}
          options={[
            ...(drawing.runs_seen_from_operator_side === undefined ? ([['not told', 'not told yet']] as const) : []),
            ['left to right', 'left to right'],
            ['right to left', 'right to left'],
          ]}
          onChange={(runs) => {
            if (runs !== 'not told') set({ runs_seen_from_operator_side: runs })
          }}
          hint="for the pictures; the words hold from both ends"
          testId="runs"
        />
      </div>
    </div>
  )
}

import type { Drawing } from '../_model/rollers.ts'
import { ChoiceField } from './Choice.tsx'
import styles from './Form.module.css'
import { type Part, PartFields, without } from './PartFields.tsx'
import type { FormProps } from './RollerTable.tsx'

type Moving = NonNullable<Drawing['moving']>
type Kind = Moving['kind']
const NONE = 'none'

const part = (key: string, label: string, unit: string, rest: Partial<Part> = {}): Part => ({
  label,
  unit,
  of: ({ moving }) => (moving as Record<string, unknown> | undefined)?.[key] as number | undefined,
  put: (drawing, value) =>
    drawing.moving === undefined ? drawing : { ...drawing, moving: { ...drawing.moving, [key]: value } as Moving },
  ...rest,
})

const positive = { least: 0, isOpen: true }
const PARTS: Readonly<Record<Kind, readonly Part[]>> = {
  'winding-roll': [
    part('core_diameter_mm', 'Core diameter', 'mm', positive),
    part('full_diameter_mm', 'Full diameter', 'mm', positive),
  ],
  'dancer-arm': [
    part('pivot_x_mm', 'Pivot, downstream', 'mm'),
    part('pivot_y_mm', 'Pivot, up', 'mm'),
    part('arm_mm', 'Length of the arm', 'mm', positive),
    part('lowest_deg', 'Lowest', '°'),
    part('highest_deg', 'Highest', '°'),
  ],
}

function fresh(kind: Kind, { rollers }: Drawing): Moving {
  const neighbour = rollers.after[0] ?? rollers.measuring
  if (kind === 'winding-roll') {
    const core = Math.min(100, neighbour.diameter_mm)
    return { kind, at: 'after', core_diameter_mm: core, full_diameter_mm: 4 * core, now_mm: core }
  }
  const arm = 300
  return {
    kind,
    at: 'after',
    pivot_x_mm: neighbour.x_mm - arm,
    pivot_y_mm: neighbour.y_mm,
    arm_mm: arm,
    lowest_deg: -20,
    highest_deg: 20,
    now_deg: 0,
  }
}

/** A winding roll or a dancer as a neighbour, and where it is now. */
export function MovingFields(props: FormProps) {
  const { drawing, onChange } = props
  const { moving } = drawing
  return (
    <div className={styles.group}>
      <div className={styles.fields}>
        <ChoiceField
          label="A neighbour that moves"
          value={moving?.kind ?? NONE}
          options={[
            [NONE, 'none'],
            ['winding-roll', 'a winding roll'],
            ['dancer-arm', 'a dancer on an arm'],
          ]}
          onChange={(kind) =>
            onChange((now) =>
              kind === NONE ? withoutMoving(now) : { ...withoutMoving(now), moving: fresh(kind, now) },
            )
          }
        />
        {moving !== undefined && (
          <ChoiceField
            label="It stands"
            value={moving.at}
            options={[
              ['before', 'before the measuring roller'],
              ['after', 'after the measuring roller'],
            ]}
            onChange={(at) => onChange((now) => ({ ...now, moving: { ...moving, at } }))}
          />
        )}
      </div>
      {moving !== undefined && (
        <>
          <PartFields {...props} parts={PARTS[moving.kind]} />
          <NowSlider {...props} moving={moving} />
        </>
      )}
    </div>
  )
}

/** Without the neighbour the target cannot be at a place of it either. */
function withoutMoving(drawing: Drawing): Drawing {
  const rest = without(drawing, 'moving')
  return rest.target?.kind === 'bisector-at' ? without(rest, 'target') : rest
}

function NowSlider({ moving, onChange, onSettle }: FormProps & { readonly moving: Moving }) {
  const isRoll = moving.kind === 'winding-roll'
  const [least, most, now, unit] = isRoll
    ? [moving.core_diameter_mm, moving.full_diameter_mm, moving.now_mm ?? moving.core_diameter_mm, 'mm']
    : [moving.lowest_deg, moving.highest_deg, moving.now_deg ?? moving.lowest_deg, '°']
  return (
    <label className={styles.slider}>
      {isRoll ? 'Diameter of the roll now' : 'Angle of the arm now'}: {now}
      {isRoll ? ' ' : ''}
      {unit}
      <input
        type="range"
        min={least}
        max={most}
        step={isRoll ? 1 : 0.5}
        value={now}
        onChange={(event) => {
          const value = Number(event.target.value)
          onChange(
            (drawing) => ({
              ...drawing,
              moving: moving.kind === 'winding-roll' ? { ...moving, now_mm: value } : { ...moving, now_deg: value },
            }),
            'slide neighbour',
          )
        }}
        onPointerUp={onSettle}
        onBlur={onSettle}
      />
    </label>
  )
}

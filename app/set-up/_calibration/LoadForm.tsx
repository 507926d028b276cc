import type { Side } from '../../../shared/sample.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { formatNumber } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import styles from './Calibration.module.css'
import { factorSource, factorValue } from './request.ts'
import type { TypedFields } from './session.ts'
import { TypedField } from './TypedField.tsx'

interface LoadFormProps {
  readonly typed: TypedFields
  readonly view: GeometryView
  readonly sides: readonly Side[]
  readonly onType: (part: Partial<TypedFields>) => void
}

/** How a hung weight becomes a force along the arrows, and what gain is expected. */
export function LoadForm(props: LoadFormProps) {
  const { typed, view, onType } = props
  const isPair = Object.keys(view.zone.cells).length > 1
  const field = (name: keyof TypedFields) => ({
    value: typed[name],
    onType: (value: string) => onType({ [name]: value }),
  })
  return (
    <div className={styles.fields}>
      <TypedField
        label="Weights, standard uncertainty"
        unit="%"
        {...field('uMassPercent')}
        hint="of the mass, from their certificate"
      />
      <TypedField
        label="Local gravity g"
        unit="m/s²"
        {...field('gravity')}
        hint="9.780 at the equator to 9.832 at the poles"
      />
      <TypedField
        label="Standard uncertainty of g"
        unit="m/s²"
        {...field('uGravity')}
        hint="0.02 covers most of the world; 0.0005 with the local value"
      />
      <FactorFields {...props} />
      {isPair && (
        <TypedField
          label="Rope from mid-span, standard uncertainty"
          unit="mm"
          {...field('ropeOffMm')}
          hint={
            view.zone.cellDistanceM === null
              ? 'needs cell_distance_m in the config'
              : `each side carries half; cells ${formatNumber(view.zone.cellDistanceM, 3)} m apart`
          }
        />
      )}
      <TypedField
        label="Expected: rated force of a cell"
        unit="N"
        {...field('expectedForce')}
        isOptional
        hint="from the data sheet, to compare the gain with"
      />
      <TypedField
        label="Expected: rise of the signal at it"
        unit={Object.values(view.zone.cells)[0]?.electricalUnit ?? 'counts'}
        {...field('expectedRise')}
        isOptional
        hint="16 for 4 to 20 mA; the rated output in mV/V"
      />
      <TypedField
        label="Standard uncertainty of that"
        unit="%"
        {...field('uExpectedPercent')}
        isOptional
        hint="0.25 (common practice, no source)"
      />
      <TypedField
        label="Span: bare roller to largest tension"
        unit="N"
        {...field('spanN')}
        isOptional
        hint="along one arrow; empty takes the heaviest weight"
      />
    </div>
  )
}

function FactorFields({ typed, view, sides, onType }: LoadFormProps) {
  const factorFrom = factorSource(typed, view)
  const field = (name: keyof TypedFields) => ({
    value: typed[name],
    onType: (value: string) => onType({ [name]: value }),
  })
  return (
    <>
      <label className={styles.field}>
        <span>Force factor of the rope from</span>
        <select
          value={factorFrom}
          onChange={(event) => onType({ factorFrom: event.target.value as TypedFields['factorFrom'] })}
          data-testid="factor-from"
        >
          <option value="typed">a number I type</option>
          <option value="wrap">the rope’s wrap of the roller</option>
          <option value="geometry" disabled={view.geometry === null}>
            the zone’s geometry{view.geometry === null ? ' (none in the config)' : ''}
          </option>
        </select>
        <span className={styles.hint}>{factorWords(typed, view, sides)}</span>
      </label>
      {factorFrom === 'typed' && (
        <TypedField
          label="Force factor k"
          unit=""
          {...field('factor')}
          hint="newtons along the arrows per newton of rope: 2 sin(wrap/2)"
          testId="factor"
        />
      )}
      {factorFrom === 'wrap' && (
        <>
          <TypedField label="Wrap of the rope" unit="°" {...field('wrapDeg')} hint="of its own centre line" />
          <TypedField label="Arrow off the bisector" unit="°" {...field('offDeg')} />
        </>
      )}
      {factorFrom === 'geometry' && (
        <TypedField
          label="Diameter of the rope"
          unit="mm"
          {...field('ropeMm')}
          hint="its centre line runs outside the rollers"
        />
      )}
      <TypedField
        label="Standard uncertainty of k"
        unit="%"
        {...field('uFactorPercent')}
        hint="1 (common practice, no source)"
      />
    </>
  )
}

function factorWords(typed: TypedFields, view: GeometryView, sides: readonly Side[]): string {
  const words = sides.map((side) => {
    try {
      return `${SIDES[side].name} k = ${formatNumber(factorValue(typed, side, view), 4)}`
    } catch (error) {
      return error instanceof Error ? error.message : ''
    }
  })
  return [...new Set(words)].join('; ')
}

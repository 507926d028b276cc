import type { Side } from '../../../shared/sample.ts'
import type { CalibrationResult } from '../../../shared/schemas/compute-calibration.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { formatClock, formatNumber, formatTrimmed, NBSP } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import styles from './Calibration.module.css'
import { Waiting } from './CapturePanel.tsx'
import { FigureTable } from './FitFigures.tsx'
import { Refusal } from './Refusal.tsx'
import { readingWords } from './reading-words.ts'
import { type OffCentrePlace, withPlace } from './session.ts'
import { TypedField } from './TypedField.tsx'
import { type Computation, useCalibration } from './use-calibration.ts'
import type { Capture } from './use-capture.ts'

interface OffCentrePanelProps {
  readonly view: GeometryView
  readonly sides: readonly Side[]
  readonly capture: Capture
  readonly hindrance: string | null
}

/** The same weight across the roller: the sum must not move, the difference must move by 2F/L. */
export function OffCentrePanel({ view, sides, capture, hindrance }: OffCentrePanelProps) {
  const { session, change, type, offCentre } = useCalibration(view, sides)
  const { typed } = session
  const [mass, placeMm] = [typedNumber(typed.offMass), typedNumber(typed.offPlaceMm)]
  const isWaiting = capture.progress !== null
  const isReady = mass !== null && mass > 0 && placeMm !== null && hindrance === null
  const take = () => {
    if (mass === null || placeMm === null) return
    capture.start(sides, ({ readings, timeMs }) =>
      change((now) => withPlace(now, { placeMm, mass, timeMs, readings: { ...readings } })),
    )
  }
  return (
    <div className={styles.flow} data-testid="off-centre">
      <p className={styles.instruction}>
        Hang one and the same weight at mid-span, then at a known distance to either side; capture it at each place.
      </p>
      <p className={styles.caution}>
        Machine stopped and locked out. Secure the weight against slipping along the roller and against falling before
        you let go; nobody stands under it or reaches into the path of the rope.
      </p>
      <form
        className={styles.capture}
        onSubmit={(event) => {
          event.preventDefault()
          if (isReady && !isWaiting) take()
        }}
      >
        <div className={styles.fields}>
          <TypedField
            label="The weight"
            unit={typed.massUnit}
            value={typed.offMass}
            onType={(offMass) => type({ offMass })}
            hint="the same at every place"
            testId="off-mass"
          />
          <TypedField
            label="Rope from mid-span, towards the operator side"
            unit="mm"
            value={typed.offPlaceMm}
            onType={(offPlaceMm) => type({ offPlaceMm })}
            hint="negative towards the drive side"
            testId="off-place"
          />
          <TypedField
            label="Distance between two places, standard uncertainty"
            unit="mm"
            value={typed.uPlaceMm}
            onType={(uPlaceMm) => type({ uPlaceMm })}
            hint="2 by tape (common practice, no source)"
          />
          <TypedField
            label="Distance between the cells, standard uncertainty"
            unit="mm"
            value={typed.uDistanceMm}
            onType={(uDistanceMm) => type({ uDistanceMm })}
            hint={
              view.zone.cellDistanceM === null
                ? 'needs cell_distance_m in the config'
                : `of ${formatNumber(view.zone.cellDistanceM, 3)} m in the config`
            }
          />
        </div>
        <div className={styles.actions}>
          {isWaiting ? (
            <button type="button" className="control" onClick={capture.cancel}>
              Stop waiting
            </button>
          ) : (
            <button type="submit" className="control" disabled={!isReady} data-testid="capture-place">
              Capture when steady
            </button>
          )}
          <Waiting capture={capture} sides={sides} hindrance={hindrance} />
        </div>
      </form>
      <PlaceList
        places={session.offCentre}
        massUnit={typed.massUnit}
        view={view}
        sides={sides}
        onUse={(id, used) =>
          change((now) => ({
            ...now,
            offCentre: now.offCentre.map((one) => (one.id === id ? { ...one, used } : one)),
          }))
        }
      />
      <h2>What the check says</h2>
      <Told {...offCentre} />
    </div>
  )
}

interface PlaceListProps {
  readonly places: readonly OffCentrePlace[]
  readonly massUnit: string
  readonly view: GeometryView
  readonly sides: readonly Side[]
  readonly onUse: (id: number, used: boolean) => void
}

function PlaceList({ places, massUnit, view, sides, onUse }: PlaceListProps) {
  if (places.length === 0) return <p className={styles.soft}>No place yet. Mid-span is a good first.</p>
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reachable by keyboard
    <section className={styles.scroll} aria-label="Captured places" tabIndex={0}>
      <table className={styles.points} data-testid="places">
        <thead>
          <tr>
            <th scope="col">Place</th>
            <th scope="col">Hung</th>
            {sides.map((side) => (
              <th key={side} scope="col">
                {SIDES[side].title}, reading ± standard uncertainty
              </th>
            ))}
            <th scope="col">At</th>
            <th scope="col">In the check</th>
          </tr>
        </thead>
        <tbody>
          {places.map((place) => (
            <tr key={place.id} data-used={place.used}>
              <th scope="row">{placeWords(place.placeMm)}</th>
              <td>{`${formatTrimmed(place.mass)}${NBSP}${massUnit}`}</td>
              {sides.map((side) => {
                const [cell, taken] = [view.zone.cells[side], place.readings[side]]
                return (
                  <td key={side}>
                    {taken === undefined
                      ? 'not taken'
                      : readingWords(taken.reading, taken.u, cell?.step ?? null, cell?.electricalUnit ?? 'counts')}
                  </td>
                )
              })}
              <td>{formatClock(place.timeMs)}</td>
              <td>
                <label className={styles.tick}>
                  <input
                    type="checkbox"
                    checked={place.used}
                    onChange={(event) => onUse(place.id, event.target.checked)}
                  />
                  <span>{place.used ? 'used' : 'left out'}</span>
                </label>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** Never a bare sign: towards which end. */
function placeWords(placeMm: number): string {
  if (placeMm === 0) return 'mid-span'
  return `${formatTrimmed(Math.abs(placeMm))}${NBSP}mm to the ${placeMm > 0 ? 'operator' : 'drive'} side`
}

function Told({ prepared, answer }: Computation) {
  if (!prepared.ok) return <p className={styles.soft}>Not computed; it needs {prepared.missing}.</p>
  if (answer !== null && !answer.ok) return <Refusal failure={answer.failure} what="Not computed." />
  const check = answer?.value.offCentre
  if (check == null) return <p className={styles.soft}>Computes.</p>
  const { sumMovement, differenceSlope, imbalanceSlope } = check
  return (
    <section className={styles.fit} aria-label="Off-centre check" data-testid="off-centre-figures">
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reachable by keyboard */}
      <section className={styles.scroll} aria-label="Figures of the check" tabIndex={0}>
        <FigureTable
          figures={[
            { name: 'sumMovement', label: 'Movement of the sum over the places', figure: sumMovement },
            { name: 'differenceSlope', label: 'Difference a metre against 2F/L', figure: differenceSlope },
            { name: 'imbalanceSlope', label: 'Side difference a metre against 2/L', figure: imbalanceSlope },
          ]}
        />
      </section>
      <p className={styles.notes} data-testid="slopes">
        {slopeWords(check)}
      </p>
    </section>
  )
}

function slopeWords({ found, expected }: NonNullable<CalibrationResult['offCentre']>): string {
  const { differencePerMetre: difference, imbalancePerMetre: imbalance } = found
  if (difference === null || imbalance === null) return ''
  const percent = (perMetre: number) => `${formatNumber(100 * perMetre, 1)}${NBSP}%`
  return (
    `Found: the difference moves by ${formatNumber(difference, 1)}${NBSP}N/m and the side difference by ${percent(imbalance)} a metre; ` +
    `expected from the weight and the distance between the cells: ${formatNumber(expected.differencePerMetre, 1)}${NBSP}N/m and ${percent(expected.imbalancePerMetre)}. ` +
    'Forces are by the lines that were just found.'
  )
}

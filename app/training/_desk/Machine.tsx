import { useEffect } from 'react'
import type { TrainingExercise } from '../../../shared/schemas/training.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { useFreshZone } from '../../_stream/age.ts'
import { stream, useHello } from '../../_stream/store.ts'
import { isCompared } from '../../_ui/live/judged.ts'
import { SideFigures } from '../../_ui/live/SideFigures.tsx'
import { sideNow, sidesOf } from '../../_ui/sides.ts'
import { conditionRows } from '../_model/words.ts'
import pageStyles from '../Training.module.css'
import styles from './Desk.module.css'

interface MachineProps {
  readonly exercise: TrainingExercise
  readonly zone: string
}

/** How the machine stands, and what both ends read. */
export function Machine({ exercise, zone }: MachineProps) {
  const info = useHello()?.zones.zones.find(({ id }) => id === zone)
  const condition = exercise.conditions[zone]
  return (
    <section className={styles.machine} aria-label="The machine">
      <div className={pageStyles.block}>
        <h2>State of the machine</h2>
        {condition === undefined ? (
          <p>Unknown: the training machine has not told it.</p>
        ) : (
          <dl className={styles.condition} data-testid="condition">
            {conditionRows(condition).map(({ name, value }) => (
              <div key={name}>
                <dt>{name}</dt>
                <dd>{value}</dd>
              </div>
            ))}
          </dl>
        )}
      </div>
      <div className={styles.sides} data-testid="desk-sides">
        {info === undefined ? <p>The line is being set up: both ends appear here.</p> : <Sides zone={info} />}
      </div>
    </section>
  )
}

function Sides({ zone }: { readonly zone: ZoneInfo }) {
  const { fresh } = useFreshZone(zone.id)
  useEffect(() => stream().want([zone.id]), [zone.id])
  return sidesOf(zone).map((side) => (
    <SideFigures
      key={side}
      zoneId={zone.id}
      side={side}
      now={sideNow(fresh, side)}
      totalMeans={zone.totalMeans}
      isCompared={isCompared(zone)}
      capacityN={zone.capacityN[side] ?? 0}
    />
  ))
}

'use client'

import Link from 'next/link'
import { useEffect, useMemo } from 'react'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { Traces } from '../../_plots/Traces.tsx'
import { useFreshZone } from '../../_stream/age.ts'
import { stream, useHello } from '../../_stream/store.ts'
import { HelpLink } from '../HelpLink.tsx'
import { useRememberedFlag } from '../remembered.ts'
import { sideNow, sidesOf } from '../sides.ts'
import { FLIP_KEY } from '../view-choices.ts'
import { useZoneChoice } from '../zone-choice.ts'
import { Beam } from './Beam.tsx'
import { BesideLine } from './BesideLine.tsx'
import { JudgedRows } from './JudgedRows.tsx'
import { isCompared } from './judged.ts'
import styles from './LiveView.module.css'
import { ListeningAid } from './listen/ListeningAid.tsx'
import { SideFigures } from './SideFigures.tsx'
import { SteadyLine } from './SteadyLine.tsx'
import { SpectrumPanel } from './spectrum/SpectrumPanel.tsx'
import { TotalLine } from './TotalLine.tsx'
import { VerdictAnnouncer } from './VerdictAnnouncer.tsx'

/** Are both sides right, now? */
export function LiveView() {
  const hello = useHello()
  const { zone, unknownId } = useZoneChoice()
  if (zone !== null) return <LiveZone key={zone.id} zone={zone} />
  return (
    <div className={styles.empty}>
      <h1>{emptyTitle(hello !== null, unknownId)}</h1>
      <p>{emptyAdvice(hello !== null, unknownId)}</p>
      {hello !== null && <HelpLink to="/help/connect">Connect an amplifier, step by step</HelpLink>}
    </div>
  )
}

function emptyTitle(isGreeted: boolean, unknownId: string | null): string {
  if (unknownId !== null) return `There is no zone “${unknownId}”`
  return isGreeted ? 'No zone is set up' : 'Waiting for the gateway'
}

function emptyAdvice(isGreeted: boolean, unknownId: string | null): string {
  if (unknownId !== null)
    return 'Choose one of the zones above, or check the address: zones may have been renamed in the config.'
  return isGreeted
    ? 'Name the two cells of a measuring roller under zones in the config; this page shows it as soon as the file is saved.'
    : 'Both sides of the roller appear here as soon as it answers.'
}

function LiveZone({ zone }: { readonly zone: ZoneInfo }) {
  const { fresh } = useFreshZone(zone.id)
  const [isFlipped] = useRememberedFlag(FLIP_KEY, false)
  const sides = useMemo(() => sidesOf(zone), [zone])
  useEffect(() => stream().want([zone.id]), [zone.id])
  const drawn = isFlipped ? sides.toReversed() : sides
  return (
    <div className={styles.live} data-state={fresh === null ? 'unknown' : 'fresh'} data-testid="live">
      <h1 className="heard-only">{zone.name}: live</h1>
      <Link className={`control ${styles.large} not-printed`} href={`/large?${new URLSearchParams({ zone: zone.id })}`}>
        Large figures
      </Link>
      <div className={styles.lines}>
        <TotalLine zone={zone} fresh={fresh} />
        <BesideLine zone={zone} fresh={fresh} />
      </div>
      <div className={styles.picture} data-cells={sides.length}>
        {drawn.map((side, place) => (
          <div key={side} className={place === 0 ? styles.left : styles.right}>
            <SideFigures
              zoneId={zone.id}
              side={side}
              now={sideNow(fresh, side)}
              totalMeans={zone.totalMeans}
              isCompared={isCompared(zone)}
              capacityN={zone.capacityN[side] ?? 0}
            />
          </div>
        ))}
        <div className={styles.beam}>
          <Beam zone={zone} fresh={fresh} isFlipped={isFlipped} />
        </div>
      </div>
      <section className={styles.section} aria-labelledby="verdicts">
        <header className={styles.heading}>
          <h2 id="verdicts">Verdicts</h2>
          <SteadyLine fresh={fresh} />
        </header>
        <JudgedRows zone={zone} fresh={fresh} />
      </section>
      <div className={styles.section}>
        <Traces zone={zone} />
      </div>
      <div className={styles.section}>
        <SpectrumPanel zone={zone} />
      </div>
      {sides.length > 1 && (
        <div className={styles.section}>
          <ListeningAid fresh={fresh} />
        </div>
      )}
      <VerdictAnnouncer zone={zone} fresh={fresh} />
    </div>
  )
}

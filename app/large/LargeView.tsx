'use client'

import { useEffect, useRef } from 'react'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { useAge, useFreshZone } from '../_stream/age.ts'
import { stream, useHello } from '../_stream/store.ts'
import { formatAge } from '../_ui/format.ts'
import { SideSwatch } from '../_ui/SideSwatch.tsx'
import { AWAKE_WORDS, useStayAwake } from '../_ui/stay-awake.ts'
import { useUnits } from '../_ui/units.tsx'
import { VerdictMark } from '../_ui/VerdictMark.tsx'
import { useZoneChoice } from '../_ui/zone-choice.ts'
import { type LargeFigure, largeFigures } from './figures.ts'
import styles from './LargeView.module.css'

/** The zone's figures for somebody five metres away, with hands at the machine. */
export function LargeView() {
  const hello = useHello()
  const { zone } = useZoneChoice()
  if (zone !== null) return <LargeZone key={zone.id} zone={zone} />
  return (
    <div className={styles.empty}>
      <h1>{hello === null ? 'Waiting for the gateway' : 'There is no such zone'}</h1>
      <p>{hello === null ? 'The figures appear as soon as it answers.' : 'Choose one of the zones above.'}</p>
    </div>
  )
}

function LargeZone({ zone }: { readonly zone: ZoneInfo }) {
  const { fresh } = useFreshZone(zone.id)
  const units = useUnits()
  const sheet = useRef<HTMLDivElement>(null)
  const awake = useStayAwake(true)
  useEffect(() => stream().want([zone.id]), [zone.id])
  const figures = largeFigures(zone, fresh, units)
  return (
    <div className={styles.view}>
      <div className={styles.sheet} ref={sheet} data-testid="large" data-count={figures.length}>
        <header className={styles.head}>
          <h1 translate="no">{zone.name}</h1>
          <Age timeMs={fresh?.timeMs ?? null} />
        </header>
        {figures.map((figure) => (
          <Figure key={figure.key} figure={figure} />
        ))}
      </div>
      <div className={styles.foot}>
        <button type="button" className="control" onClick={() => toggleFullScreen(sheet.current)}>
          Full screen
        </button>
        <p aria-live="polite">{AWAKE_WORDS[awake]}</p>
      </div>
    </div>
  )
}

function Age({ timeMs }: { readonly timeMs: number | null }) {
  const age = useAge(timeMs)
  return <p className={styles.age}>{age === null ? 'no picture' : `${formatAge(age)} old`}</p>
}

function Figure({ figure }: { readonly figure: LargeFigure }) {
  const { key, title, side, value, beside, verdict } = figure
  return (
    <section className={styles.figure} data-side={side ?? undefined} data-testid={`large-${key}`}>
      <h2>
        {side !== null && <SideSwatch side={side} />}
        {title}
      </h2>
      <p className={value === null ? styles.none : styles.number} data-length={value?.length}>
        {value ?? 'unknown'}
      </p>
      <p className={styles.beside}>{beside}</p>
      {verdict !== null && (
        <p className={styles.verdict}>
          <VerdictMark state={verdict.state} />
          {verdict.limit !== null && <span>limit {verdict.limit}</span>}
        </p>
      )}
    </section>
  )
}

function toggleFullScreen(element: HTMLElement | null): void {
  if (document.fullscreenElement !== null) void document.exitFullscreen()
  // Refused where a page may not (a frame, some phones): the figures are as large as the window either way.
  else element?.requestFullscreen?.().catch(() => {})
}

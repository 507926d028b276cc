'use client'

import { type ReactNode, useId, useState } from 'react'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { judgedFigure } from '../judged-figure.ts'
import { Ruler } from '../Ruler.tsx'
import { SideSwatch } from '../SideSwatch.tsx'
import { useUnits } from '../units.tsx'
import { VerdictMark } from '../VerdictMark.tsx'
import { verdictSentence } from '../verdict-words.ts'
import { WhyButton, WhyPanel } from '../Why.tsx'
import { AgreementNote } from './AgreementNote.tsx'
import styles from './JudgedRows.module.css'
import { isCompared, type Judged, judgedOf } from './judged.ts'

interface JudgedRowsProps {
  readonly zone: ZoneInfo
  /** Null while nothing may be shown as a number. */
  readonly fresh: ZoneNow | null
}

/** Agreement, side difference, noise of each side, drift: a ruler, a verdict and its reasons each. */
export function JudgedRows({ zone, fresh }: JudgedRowsProps) {
  return (
    <ul className={styles.rows}>
      {!isCompared(zone) && (
        <li className={styles.invitation}>
          <AgreementNote zone={zone} fresh={fresh} />
        </li>
      )}
      {judgedOf(zone, fresh).map((judged) => (
        <JudgedRow key={judged.key} judged={judged}>
          {judged.key === 'agreement' && <AgreementNote zone={zone} fresh={fresh} />}
        </JudgedRow>
      ))}
    </ul>
  )
}

/** One judged figure: its ruler, its verdict, and why. */
export function JudgedRow({ judged, children }: { readonly judged: Judged; readonly children: ReactNode }) {
  const { figure, isOneSided, title } = judged
  const units = useUnits()
  const panelId = useId()
  const [isOpen, setOpen] = useState(false)
  const state = figure?.verdict.state ?? 'unknown'
  const sentence = figure === null ? 'No picture from the gateway.' : verdictSentence(figure, units, isOneSided)
  const shown = figure === null ? null : judgedFigure(figure, units, isOneSided)
  return (
    <li className={styles.row} data-testid={`judged-${judged.key}`} data-state={state}>
      <div className={styles.name}>
        <h3>
          {judged.side !== null && <SideSwatch side={judged.side} />}
          {title}
        </h3>
        <p className={styles.meaning}>{judged.meaning}</p>
      </div>
      <p className={styles.value} data-testid={`value-${judged.key}`}>
        {shown === null ? (
          <span className={styles.none}>no value</span>
        ) : (
          <>
            <span className={styles.number}>{shown.value}</span>{' '}
            <span className={styles.uncertainty}>
              {shown.U !== null && `± ${shown.U} `}
              {shown.unit}
            </span>
          </>
        )}
      </p>
      <div className={styles.ruler} data-empty={figure !== null && figure.limit === null}>
        {figure?.limit != null && <Ruler figure={figure} isOneSided={isOneSided} label={`${title}: ${sentence}`} />}
      </div>
      <div className={styles.verdict}>
        <VerdictMark state={state} />
        <p className={styles.sentence}>{sentence}</p>
      </div>
      <div className={styles.why}>
        <WhyButton panelId={panelId} of={title} isOpen={isOpen} onToggle={() => setOpen(!isOpen)} />
      </div>
      {children !== false && <div className={styles.note}>{children}</div>}
      {isOpen && (
        <div className={styles.reasons}>
          {figure === null ? <p>{sentence}</p> : <WhyPanel id={panelId} figure={figure} />}
        </div>
      )}
    </li>
  )
}

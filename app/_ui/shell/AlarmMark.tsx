'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'
import { Fragment } from 'react'
import { useAlarms, useLink } from '../../_stream/store.ts'
import { isLetIn, useSession } from '../access/session.ts'
import { PriorityMark } from '../PriorityMark.tsx'
import { useQuery } from '../query.ts'
import styles from './AlarmMark.module.css'
import { alarmMarkWords, LOGGED_OUT } from './alarm-mark-words.ts'

const ALARMS_PAGE = '/alarms'

/** On every page: how many alarms there are, the highest priority, and what is put aside or off; the way to the list. */
export function AlarmMark() {
  const known = useAlarms()
  const session = useSession()
  const isOut = session.view !== null && !isLetIn(session)
  const isHeard = useLink().phase === 'live'
  const path = usePathname()
  const zone = useQuery('zone')
  const { loud, quiet, mood, priority } = isOut ? LOGGED_OUT : alarmMarkWords(known, isHeard)
  const query = zone === null ? '' : `?${new URLSearchParams({ zone })}`
  const isPressing = mood === 'asks' || mood === 'stands'
  return (
    <section className="not-printed" aria-label="Alarms">
      <Link
        className={styles.mark}
        href={ALARMS_PAGE + query}
        prefetch={false}
        data-mood={mood}
        data-testid="alarm-mark"
        aria-current={path === ALARMS_PAGE ? 'page' : undefined}
      >
        <span className={styles.picture}>
          <PriorityMark priority={isPressing ? priority : null} isHollow={mood === 'stands'} />
        </span>
        <span className={styles.words}>
          <span className={styles.loud} aria-live="polite">
            {loud}
          </span>
          <span className={styles.quiet}>
            {quiet.map((part, i) => (
              <Fragment key={part}>
                {i > 0 && ' · '}
                <span className={styles.part}>{part}</span>
              </Fragment>
            ))}
          </span>
        </span>
      </Link>
    </section>
  )
}

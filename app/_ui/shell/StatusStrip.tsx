'use client'

import { usePathname } from 'next/navigation'
import { useMemo } from 'react'
import type { DeviceHealth } from '../../../shared/schemas/health.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { useAge, useIsYoung, useSecondsSince, useUsableAges } from '../../_stream/age.ts'
import type { Link } from '../../_stream/connection.ts'
import { stream, useHealth, useHello, useLink, usePicture } from '../../_stream/store.ts'
import { isLetIn, useSession } from '../access/session.ts'
import { formatAge, formatClock, formatDay, formatDuration } from '../format.ts'
import { SIDES, sidesOf } from '../sides.ts'
import { useZoneChoice } from '../zone-choice.ts'
import { dataInWords } from './data-words.ts'
import { linkSentence } from './link-words.ts'
import { showsOneZone } from './pages.ts'
import styles from './StatusStrip.module.css'

/** A whole sentence each, because another language orders its words otherwise. */
const DEVICE_SENTENCES: Record<DeviceHealth['state'], (name: string) => string> = {
  answering: (name) => `${name} answers.`,
  partly: (name) => `${name} answers only in part.`,
  lost: (name) => `${name} does not answer.`,
  starting: (name) => `${name} has not answered yet.`,
  ended: (name) => `${name} has come to its end.`,
}

/** Paper is not live: what a print shows instead of the strip. */
export function PrintedAt() {
  const pictureMs = usePicture()
  return (
    <p className={styles.printed}>
      {pictureMs === null
        ? 'Printed without any picture from the gateway.'
        : `Printed picture of ${formatDay(pictureMs)}, ${formatClock(pictureMs)}. Figures hold for that moment only.`}
    </p>
  )
}

/** One line that always says whether the gateway is there, how old the data of the shown zone are, and whether devices answer. */
export function StatusStrip() {
  const link = useLink()
  const hello = useHello()
  const pictureMs = usePicture()
  const { zone } = useZoneChoice()
  const isOfOneZone = showsOneZone(usePathname())
  const isPictureYoung = useIsYoung(pictureMs) || pictureMs === null
  const session = useSession()
  if (session.view !== null && !isLetIn(session)) return <LoggedOut />
  const isOtherVersion = hello !== null && stream().isOtherVersion
  return (
    <section
      className={`${styles.strip} not-printed`}
      data-phase={link.phase === 'live' && !isPictureYoung ? 'stalled' : link.phase}
      data-testid="connection"
      aria-label="Connection"
    >
      <p className={styles.sentence} aria-live="polite">
        <span className={styles.mark} aria-hidden="true" />
        {linkSentence(link, hello !== null, isPictureYoung)}
      </p>
      {link.phase === 'lost' && hello !== null && <LostFor link={link} />}
      {link.phase === 'live' && isPictureYoung && isOfOneZone && zone !== null && <Data zone={zone} />}
      {link.phase === 'live' && !isPictureYoung && <Picture />}
      {/* As old as the picture: when that does not come, nobody knows whether they answer. */}
      {link.phase === 'live' && isPictureYoung && <Devices />}
      {isOtherVersion && (
        <button type="button" className={styles.reload} onClick={() => location.reload()}>
          The gateway was updated: reload
        </button>
      )}
    </section>
  )
}

/** Nothing is asked for, so that nothing is lost. */
function LoggedOut() {
  return (
    <section
      className={`${styles.strip} not-printed`}
      data-phase="connecting"
      data-testid="connection"
      aria-label="Connection"
    >
      <p className={styles.sentence}>
        <span className={styles.mark} aria-hidden="true" />
        Nobody is logged in: no figure is shown.
      </p>
    </section>
  )
}

function LostFor({ link }: { readonly link: Link }) {
  const seconds = useSecondsSince(link.sinceMs)
  const pictureMs = usePicture()
  return (
    <p data-testid="lost-for">
      {formatDuration(seconds)} ago
      {pictureMs !== null && `; the picture was of ${formatClock(pictureMs)}`}.
    </p>
  )
}

/** Said only when no new picture comes: of a running one, the data say how old they are. */
function Picture() {
  const pictureMs = usePicture()
  const age = useAge(pictureMs)
  if (pictureMs === null) return null
  return (
    <p data-testid="picture-age">
      The newest is of {formatClock(pictureMs)}, {age === null ? 'of unknown age' : `${formatAge(age)} old`}.
    </p>
  )
}

/** The link may be well while no device gives anything: the data have an age of their own. */
function Data({ zone }: { readonly zone: ZoneInfo }) {
  const sides = useMemo(() => sidesOf(zone), [zone])
  const ages = useUsableAges(zone.id, sides)
  const { text, isWhole } = dataInWords(
    sides.map((side, i) => ({ name: SIDES[side].title, seconds: ages[i] ?? null })),
    zone.rateHz,
  )
  return (
    <p className={isWhole ? styles.data : `${styles.data} ${styles.loud}`} data-testid="data-age">
      {text}
    </p>
  )
}

function Devices() {
  const devices = useHealth()?.devices
  if (devices === undefined) return null
  const troubled = devices.filter((device) => device.state !== 'answering')
  const isAll = troubled.length === 0
  return (
    <p className={isAll ? styles.quiet : styles.loud} data-testid="devices">
      {isAll
        ? `${devices.length === 1 ? 'The device answers' : `All ${devices.length} devices answer`}.`
        : troubled.map(({ name, state }) => DEVICE_SENTENCES[state](name)).join(' ')}
    </p>
  )
}

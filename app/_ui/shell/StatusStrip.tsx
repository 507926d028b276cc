'use client'

import type { DeviceHealth } from '../../../shared/schemas/health.ts'
import { useAge, useIsYoung, useSecondsSince } from '../../_stream/age.ts'
import type { Link } from '../../_stream/connection.ts'
import { stream, useHealth, useHello, useLink, usePicture } from '../../_stream/store.ts'
import { formatAge, formatClock, formatDay, formatDuration } from '../format.ts'
import { linkSentence } from './link-words.ts'
import styles from './StatusStrip.module.css'

const DEVICE_WORDS: Record<DeviceHealth['state'], string> = {
  answering: 'answers',
  partly: 'answers only in part',
  lost: 'does not answer',
  starting: 'has not answered yet',
  ended: 'has come to its end',
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

/** One line that always says whether the page is live, how old the picture is, and whether devices answer. */
export function StatusStrip() {
  const link = useLink()
  const hello = useHello()
  const pictureMs = usePicture()
  const isPictureYoung = useIsYoung(pictureMs) || pictureMs === null
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
      {link.phase === 'live' && <Picture />}
      {link.phase === 'live' && <Devices />}
      {isOtherVersion && (
        <button type="button" className={styles.reload} onClick={() => location.reload()}>
          The gateway was updated: reload
        </button>
      )}
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

function Picture() {
  const pictureMs = usePicture()
  const age = useAge(pictureMs)
  if (pictureMs === null) return <p>No picture yet.</p>
  return (
    <p className={styles.picture}>
      {formatClock(pictureMs)},{' '}
      <span data-testid="picture-age">{age === null ? 'unknown age' : `${formatAge(age)} old`}</span>
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
        : `${troubled.map((device) => `${device.name} ${DEVICE_WORDS[device.state]}`).join('; ')}.`}
    </p>
  )
}

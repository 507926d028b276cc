import { useEffect, useId, useRef, useState } from 'react'
import type { ZoneNow } from '../../../../shared/schemas/now.ts'
import { useRememberedText } from '../../remembered.ts'
import styles from './ListeningAid.module.css'
import { ALIKE_HZ, heardOf } from './pitch.ts'
import { Tone } from './tone.ts'

const USUAL_VOLUME = '40'

/** The side difference as a tone, for hands that are busy at the roller. Off until it is pressed. */
export function ListeningAid({ fresh }: { readonly fresh: ZoneNow | null }) {
  const [isOn, setOn] = useState(false)
  const [kept, keepVolume] = useRememberedText('evenpull.listen.volume', USUAL_VOLUME)
  const headingId = useId()
  const tone = useRef<Tone | null>(null)
  const volume = Math.min(100, Math.max(0, Number(kept) || 0))
  const heard = heardOf(fresh)

  useEffect(() => {
    tone.current?.sound(heard.hz)
  }, [heard.hz])
  useEffect(() => () => tone.current?.stop(), [])

  const toggle = () => {
    if (isOn) {
      tone.current?.stop()
      tone.current = null
    } else {
      // Made by the press itself: a browser lets nothing sound before.
      tone.current = new Tone(new AudioContext(), volume / 100)
      tone.current.sound(heard.hz)
    }
    setOn(!isOn)
  }
  return (
    <section className={`${styles.aid} not-printed`} aria-labelledby={headingId} data-testid="listening-aid">
      <h2 id={headingId}>Listening aid</h2>
      <div className={styles.controls}>
        <button type="button" className="control" aria-pressed={isOn} onClick={toggle}>
          Listen to the side difference
        </button>
        <label className={styles.volume}>
          <span>Volume</span>
          <input
            type="range"
            min={0}
            max={100}
            step={5}
            value={volume}
            onChange={(event) => {
              keepVolume(event.target.value)
              if (tone.current !== null) tone.current.volume = Number(event.target.value) / 100
            }}
          />
        </label>
        <p className={styles.state} data-testid="listening-state" data-state={isOn ? 'on' : 'off'}>
          {isOn ? heard.words : 'Off.'}
        </p>
      </div>
      <p className={styles.soft}>
        {ALIKE_HZ} Hz when both sides carry alike; a semitone higher for each percent that the operator side carries
        more, lower for each that the drive side does. From the newest samples, four times a second: an aid to the ear,
        not a measurement. Silent whenever the side difference is unknown.
      </p>
    </section>
  )
}

import type { RecorderStatus } from '../../../shared/schemas/recorder.ts'
import { formatClock, formatLongDay, formatNumber } from '../../_ui/format.ts'
import { HelpLink } from '../../_ui/HelpLink.tsx'
import stacked from '../../_ui/Stacked.module.css'
import { WideBox } from '../../_ui/WideBox.tsx'
import { remedyOf } from '../health-words.ts'
import styles from '../SetUp.module.css'
import { bytesWords, daysWords, KIND_WORDS } from './recorder-words.ts'

function ClockNote({ aheadMs }: Pick<RecorderStatus, 'aheadMs'>) {
  const seconds = formatNumber(Math.round(Math.abs(aheadMs) / 1000), 0)
  if (aheadMs > 0)
    return (
      <p className={styles.caution}>
        The wall clock was set back: times here stand {seconds} s ahead of it, so that nothing recorded is mixed up.
      </p>
    )
  if (aheadMs < 0)
    return (
      <p className={styles.caution} data-testid="clock-behind">
        The wall clock was put forward while the gateway ran: times here stand {seconds} s behind it, evenly. Start the
        gateway again once the clock is right, and what comes is dated by it.
      </p>
    )
  return null
}

/** What is kept, where, since when, and whether it goes on. */
export function RecorderPanel({ recorder }: { readonly recorder: RecorderStatus }) {
  const { state, sentence, error, warning, file, bytes, freeBytes, lostSamples, waitingEvents, aheadMs } = recorder
  const remedy = error === null ? null : remedyOf(error.code)
  return (
    <section className={styles.section} aria-labelledby="recorder-title" data-testid="recorder" data-state={state}>
      <h2 id="recorder-title">Recorder</h2>
      <p className={styles.lead}>{sentence}</p>
      {remedy !== null && (
        <p>
          {remedy} <HelpLink to="/help/symptoms#disk-full">What to look at first</HelpLink>
        </p>
      )}
      {warning !== null && <p className={styles.caution}>{warning}</p>}
      <ClockNote aheadMs={aheadMs} />
      {state !== 'off' && (
        <dl className={styles.pairs}>
          <div>
            <dt>Store</dt>
            <dd className={styles.path}>{file}</dd>
          </div>
          <div>
            <dt>Size</dt>
            <dd>
              {bytes === null ? 'unknown' : bytesWords(bytes)}
              {freeBytes !== null && `, ${bytesWords(freeBytes)} free on its disk`}
            </dd>
          </div>
          <div>
            <dt>So since</dt>
            <dd>{formatDay(recorder.sinceMs)}</dd>
          </div>
          {lostSamples > 0 && (
            <div>
              <dt>Lost</dt>
              <dd>{formatNumber(lostSamples, 0)} samples since the start could not be kept</dd>
            </div>
          )}
          {waitingEvents > 0 && (
            <div>
              <dt>Waiting</dt>
              <dd>{formatNumber(waitingEvents, 0)} events are in memory until they can be written</dd>
            </div>
          )}
        </dl>
      )}
      {recorder.kept.length > 0 && <KeptTable kept={recorder.kept} />}
    </section>
  )
}

function KeptTable({ kept }: { readonly kept: RecorderStatus['kept'] }) {
  return (
    <WideBox label="What is kept">
      <table className={`${styles.kept} ${stacked.stacked}`}>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Since</th>
            <th scope="col">Takes now</th>
            <th scope="col">Kept for</th>
            <th scope="col">At most</th>
          </tr>
        </thead>
        <tbody>
          {kept.map(({ kind, fromMs, bytes, days, mb }) => (
            <tr key={kind}>
              <th scope="row">{KIND_WORDS[kind]}</th>
              <td data-of="Since">{fromMs === null ? 'nothing yet' : formatDay(fromMs)}</td>
              <td data-of="Takes now">{bytesWords(bytes)}</td>
              <td data-of="Kept for">{daysWords(days)}</td>
              <td data-of="At most">{bytesWords(mb * 1e6)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </WideBox>
  )
}

const formatDay = (ms: number) => `${formatLongDay(ms)}, ${formatClock(ms)}`

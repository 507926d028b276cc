import type { ForwardHealth, ForwardStatus } from '../../../shared/schemas/forward-status.ts'
import { formatClock, formatLongDay, formatNumber, NBSP } from '../../_ui/format.ts'
import { bytesWords } from '../_recorder/recorder-words.ts'
import styles from '../SetUp.module.css'
import { StateMark } from '../StateMark.tsx'

const MARKS = { connected: 'answering', connecting: 'unknown', waiting: 'lost' } as const

/** Where figures and events are sent on to, and whether they arrive. */
export function ForwardPanel({ forward }: { readonly forward: ForwardHealth }) {
  const { mqtt } = forward
  return (
    <section className={styles.section} aria-labelledby="forward-title" data-testid="forward">
      <h2 id="forward-title">Sending on</h2>
      {mqtt === null ? (
        <p>
          Nothing is sent on. A broker named under <code>forward: mqtt:</code> in the config gets every figure, verdict,
          alarm and event.
        </p>
      ) : (
        <Destination status={mqtt} />
      )}
    </section>
  )
}

function Destination({ status }: { readonly status: ForwardStatus }) {
  const { state, sentence, lastError, liveOnly, where, topic, sinceMs } = status
  return (
    <>
      <p className={`${styles.lead} ${styles.marked}`} data-state={state}>
        <StateMark kind={MARKS[state]} />
        <span>{sentence}</span>
      </p>
      {lastError !== null && (
        <p className={state === 'connected' ? styles.soft : styles.caution}>
          {formatDay(lastError.timeMs)}: {lastError.message}. {state !== 'connected' && lastError.remedy}
        </p>
      )}
      {liveOnly !== null && (
        <p className={styles.caution}>Messages do not wait for a broker that is away: what cannot be sent is lost.</p>
      )}
      <dl className={styles.pairs}>
        <div>
          <dt>Broker</dt>
          <dd className={styles.path}>
            {where}, by MQTT{NBSP}5
          </dd>
        </div>
        <div>
          <dt>Topics</dt>
          <dd className={styles.path}>
            begin with <code>{topic}</code>
          </dd>
        </div>
        <div>
          <dt>Since</dt>
          <dd>{formatDay(sinceMs)} in this state</dd>
        </div>
        <div>
          <dt>Waiting</dt>
          <dd>{waitingWords(status)}</dd>
        </div>
        <div>
          <dt>Since start</dt>
          <dd>{countWords(status)}</dd>
        </div>
      </dl>
    </>
  )
}

function waitingWords({ queued, queuedBytes, oldestMs }: ForwardStatus): string {
  if (queued === null) return 'nothing is queued'
  if (queued === 0) return 'nothing'
  const size = queuedBytes === null ? '' : `, ${bytesWords(queuedBytes)}`
  return `${count(queued, 'message')}${size}${oldestMs === null ? '' : `, the oldest from ${formatDay(oldestMs)}`}`
}

function countWords({ delivered, dropped, refused }: ForwardStatus): string {
  const losses = [
    ...(dropped > 0 ? [`${count(dropped, 'message')} dropped`] : []),
    ...(refused > 0 ? [`${count(refused, 'message')} refused for good`] : []),
  ]
  return [`${count(delivered, 'message')} taken by the broker`, ...losses].join(', ')
}

const count = (n: number, what: string): string => `${formatNumber(n, 0)} ${what}${n === 1 ? '' : 's'}`

const formatDay = (ms: number) => `${formatLongDay(ms)}, ${formatClock(ms)}`

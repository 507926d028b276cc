import { registerNotation } from '../../../lib/codec/address.ts'
import type { ChannelHealth, DeviceHealth } from '../../../shared/schemas/health.ts'
import { useAge } from '../../_stream/age.ts'
import { formatAge, formatClock, formatNumber, formatTrimmed, NBSP } from '../../_ui/format.ts'
import { HelpLink } from '../../_ui/HelpLink.tsx'
import { isSlow, remedyOf, STATE_WORDS, TRANSPORT_WORDS } from '../health-words.ts'
import { StateMark } from '../StateMark.tsx'
import styles from './Devices.module.css'

export interface DeviceCardProps {
  readonly device: DeviceHealth
  readonly channels: readonly ChannelHealth[]
  /** False when the gateway is not heard: the state of now is then not known. */
  readonly isHeard: boolean
}

/** One device: does it answer, how fast, how steadily, and what went wrong last. */
export function DeviceCard({ device, channels, isHeard }: DeviceCardProps) {
  const titleId = `device-${device.id}`
  const state = isHeard ? device.state : 'unknown'
  return (
    <article className={styles.device} aria-labelledby={titleId} data-testid="device" data-state={state}>
      <header className={styles.deviceHead}>
        <h3 id={titleId} translate="no">
          {device.name}
        </h3>
        <p className={styles.state}>
          <StateMark kind={state} />
          {state === 'unknown' ? 'not known now' : STATE_WORDS[state]}
          <LastAnswer timeMs={device.lastAnswerMs} />
        </p>
        <p className={styles.where}>
          {TRANSPORT_WORDS[device.transport]}, {device.where}
        </p>
      </header>
      <LastError device={device} />
      <dl className={styles.facts}>
        <Fact title="Polls a second" note={isSlow(device) ? 'slower than asked' : null}>
          {device.achievedHz === null ? 'not known yet' : formatNumber(device.achievedHz, 1)} of{' '}
          {formatTrimmed(device.requestedHz)} asked
        </Fact>
        <Fact title="Round trip">{spreadInWords(device.roundTripMs)}</Fact>
        <Fact title="Poll start against its tick">{spreadInWords(device.jitterMs)}</Fact>
        <Fact title="Answers">
          {whole(device.answers)} of {whole(device.requests)} requests
        </Fact>
        <Fact title="Polls left out">{countInWords(device.missedTicks, 'the one before had not ended')}</Fact>
        <Fact title="Not answered in time">{whole(device.timeouts)}</Fact>
        <Fact title="Refused by the device">{whole(device.exceptions)}</Fact>
        <Fact title="Frames thrown away">{countInWords(device.violations, 'they broke the protocol')}</Fact>
        {device.lateAnswers !== undefined && (
          <Fact title="Came too late and were dropped">{whole(device.lateAnswers)}</Fact>
        )}
        <Fact title="Connected anew">{whole(device.reconnects)}</Fact>
      </dl>
      <Plan device={device} channels={channels} />
    </article>
  )
}

function Fact({
  title,
  note,
  children,
}: {
  readonly title: string
  readonly note?: string | null
  readonly children: React.ReactNode
}) {
  return (
    <div>
      <dt>{title}</dt>
      <dd>
        {children}
        {note != null && <span className={styles.loud}> ({note})</span>}
      </dd>
    </div>
  )
}

function LastAnswer({ timeMs }: { readonly timeMs: number | null }) {
  const age = useAge(timeMs)
  return (
    <span className={styles.soft}>
      {timeMs === null
        ? 'never answered'
        : `last answer ${age === null ? 'at an unknown age' : `${formatAge(age)} ago`}`}
    </span>
  )
}

function LastError({ device: { lastError, state } }: { readonly device: DeviceHealth }) {
  if (lastError === null) return null
  const remedy = remedyOf(lastError.code)
  return (
    <p className={styles.error} data-past={state === 'answering'} data-testid="device-error">
      <strong>
        {state === 'answering' ? 'Last error, since overcome' : 'Last error'}, {formatClock(lastError.timeMs)}:
      </strong>{' '}
      {lastError.message}. {remedy} <span className={styles.code}>{lastError.code}</span>
      {state !== 'answering' && (
        <>
          {' '}
          <HelpLink
            to={
              lastError.code === 'EVP_SERIAL_OPEN' ? '/help/symptoms#serial-permission' : '/help/symptoms#device-lost'
            }
          >
            What to look at first
          </HelpLink>
        </>
      )}
    </p>
  )
}

function spreadInWords(spread: { p50: number; p99: number; max: number } | null): string {
  if (spread === null) return 'not known yet'
  const ms = (value: number) => `${formatNumber(value, value < 10 ? 1 : 0)}${NBSP}ms`
  return `half under ${ms(spread.p50)}, 99 % under ${ms(spread.p99)}, longest ${ms(spread.max)}`
}

function whole(count: number): string {
  return formatNumber(count, 0)
}

function countInWords(count: number, why: string): string {
  return count === 0 ? '0' : `${whole(count)}: ${why}`
}

/** The requests the gateway sends each poll, planned from the config. */
function Plan({ device, channels }: { readonly device: DeviceHealth; readonly channels: readonly ChannelHealth[] }) {
  const nameOf = (id: string) => channels.find((channel) => channel.id === id)?.name ?? id
  return (
    <details className={styles.plan}>
      <summary>{device.plan.length === 1 ? 'One request' : `${device.plan.length} requests`} a poll</summary>
      <ul>
        {device.plan.map((request) => (
          <li key={`${request.unitId} ${request.function} ${request.address} ${request.channels.join(' ')}`}>
            {requestInWords(request)}: {request.channels.map(nameOf).join(', ')}
          </li>
        ))}
      </ul>
    </details>
  )
}

function requestInWords({ unitId, function: fn, address, count }: DeviceHealth['plan'][number]): string {
  if (fn === null || address === null) return count === 1 ? 'one reading' : `${count} readings`
  const kind = fn === 3 ? 'holding' : 'input'
  const notation = registerNotation(fn === 3 ? 3 : 4, address)
  return `unit ${unitId}, ${count} ${kind} register${count === 1 ? '' : 's'} from ${address} (${notation})`
}

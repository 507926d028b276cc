import { qualityOf } from '../../../shared/quality.ts'
import type { ChannelHealth } from '../../../shared/schemas/health.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import { useAge } from '../../_stream/age.ts'
import { formatAge, formatNumber, formatTrimmed, withUnit } from '../../_ui/format.ts'
import stacked from '../../_ui/Stacked.module.css'
import { useUnits } from '../../_ui/units.tsx'
import { qualityWord } from '../health-words.ts'
import { StateMark } from '../StateMark.tsx'
import styles from './ChannelTable.module.css'

export interface ChannelTableProps {
  readonly channels: readonly ChannelHealth[]
  readonly deviceName: (id: string) => string
  readonly isHeard: boolean
}

/** Every channel from the register to the value, with its quality in a word and why. */
export function ChannelTable({ channels, deviceName, isHeard }: ChannelTableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className={styles.scroll} aria-label="Channels, one a row" tabIndex={0}>
      <table className={`${styles.table} ${stacked.stacked}`} data-testid="channel-table">
        <thead>
          <tr>
            <th scope="col">Channel</th>
            <th scope="col">Quality</th>
            <th scope="col" className={styles.number}>
              Value
            </th>
            <th scope="col" className={styles.number}>
              Electrical
            </th>
            <th scope="col" className={styles.number}>
              Raw
            </th>
            <th scope="col" className={styles.number}>
              Age
            </th>
            <th scope="col">Where</th>
            <th scope="col" className={styles.number}>
              Samples good, uncertain, bad
            </th>
          </tr>
        </thead>
        <tbody>
          {channels.map((channel) => (
            <ChannelRow key={channel.id} channel={channel} device={deviceName(channel.device)} isHeard={isHeard} />
          ))}
        </tbody>
      </table>
    </section>
  )
}

function ChannelRow({
  channel,
  device,
  isHeard,
}: {
  readonly channel: ChannelHealth
  readonly device: string
  readonly isHeard: boolean
}) {
  const units = useUnits()
  const { code, value, raw, electrical, electricalUnit, unit } = channel
  const quality = isHeard ? qualityOf(code) : 'unknown'
  // A number that is bad, or that nobody vouches for any more, is not shown as one.
  const isShown = quality === 'good' || quality === 'uncertain'
  return (
    <tr data-quality={quality} data-testid="channel">
      <th scope="row">
        <span translate="no">{channel.name}</span>
        <span className={styles.soft}>
          {channel.measures.replace('_', ' ')}, {device}
        </span>
      </th>
      <td data-of="Quality">
        <span className={styles.quality}>
          <StateMark kind={code === 'starting' ? 'unknown' : quality} />
          {isHeard ? qualityWord(code) : 'unknown'}
        </span>
        {quality !== 'good' && (
          <span className={styles.soft}>{isHeard ? reasonInWords(code) : 'the gateway is not heard'}</span>
        )}
      </td>
      <td className={styles.number} data-of="Value">
        {isShown && value !== null ? units.figure(value, null, unit).text : noNumber()}
      </td>
      <td className={styles.number} data-of="Electrical">
        {electricalUnit === null ? noScale() : electricalInWords(isShown ? electrical : null, electricalUnit)}
      </td>
      <td className={styles.number} data-of="Raw">
        {isHeard && raw !== null ? formatTrimmedRaw(raw) : noNumber()}
      </td>
      <td className={styles.number} data-of="Age">
        <Age timeMs={channel.timeMs} />
      </td>
      <td className={styles.where} data-of="Where">
        {channel.where}
      </td>
      <td className={styles.number} data-of="Samples good, uncertain, bad">
        {[channel.good, channel.uncertain, channel.bad].map((count) => formatNumber(count, 0)).join(', ')}
      </td>
    </tr>
  )
}

// Made at each use, in the language of that moment.
const noScale = () => <span className={styles.soft}>none set up</span>
const noNumber = () => <span className={styles.soft}>no number</span>

function electricalInWords(electrical: number | null, unit: string) {
  return electrical === null ? noNumber() : withUnit(formatNumber(electrical, 3), unit)
}

/** Counts whole, float registers in four digits. */
function formatTrimmedRaw(raw: number): string {
  return Number.isInteger(raw) ? formatNumber(raw, 0) : formatTrimmed(raw)
}

function Age({ timeMs }: { readonly timeMs: number | null }) {
  const age = useAge(timeMs)
  return timeMs === null ? 'never read' : age === null ? 'unknown' : formatAge(age)
}

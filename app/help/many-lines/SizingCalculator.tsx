'use client'

import { useState } from 'react'
import { type PlantPlan, sizeOf } from '../../../lib/sizing/plant-size.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import { FactTable } from '../_parts/FactTable.tsx'
import styles from '../_parts/Help.module.css'
import { bytesInWords, perSecond, rateInWords } from './size-words.ts'

/** What can be typed: key, label, as it comes, and the least and most that make sense. */
const FIELDS = [
  { key: 'lines', label: 'Gateways', value: 12, least: 1, most: 1000 },
  { key: 'zonesALine', label: 'Zones of each', value: 2, least: 1, most: 64 },
  { key: 'devicesALine', label: 'Devices of each', value: 2, least: 1, most: 64 },
  { key: 'channelsALine', label: 'Channels of each', value: 8, least: 1, most: 512 },
  { key: 'rateHz', label: 'Samples a second of each channel', value: 100, least: 0.1, most: 1000 },
  { key: 'everySeconds', label: 'Seconds between two messages of a zone', value: 10, least: 1, most: 3600 },
  { key: 'days', label: 'Days that samples are kept', value: 60, least: 1, most: 3650 },
  { key: 'pagesALine', label: 'Pages open at each', value: 2, least: 0, most: 100 },
] as const satisfies readonly {
  key: keyof PlantPlan
  label: string
  value: number
  least: number
  most: number
}[]

type Typed = Readonly<Record<keyof PlantPlan, string>>

const AT_FIRST = Object.fromEntries(FIELDS.map(({ key, value }) => [key, String(value)])) as Typed

/** Null where a field holds no number within its bounds. */
function planOf(typed: Typed): PlantPlan | null {
  const plan: Record<string, number> = {}
  for (const { key, least, most } of FIELDS) {
    const value = numberOf(typed[key])
    if (!(value >= least && value <= most)) return null
    plan[key] = value
  }
  return plan as unknown as PlantPlan
}

const numberOf = (text: string): number => typedNumber(text) ?? Number.NaN

/** What a plant needs, as one types it. Nothing leaves the page. */
export function SizingCalculator() {
  const [typed, setTyped] = useState(AT_FIRST)
  const plan = planOf(typed)
  return (
    <>
      <div className={styles.fields}>
        {FIELDS.map(({ key, label, least, most }) => {
          const value = numberOf(typed[key])
          const isWrong = !(value >= least && value <= most)
          return (
            <label key={key}>
              {label}
              <input
                name={key}
                inputMode="decimal"
                value={typed[key]}
                aria-invalid={isWrong}
                aria-describedby={isWrong ? `${key}-wrong` : undefined}
                onChange={(event) => setTyped({ ...typed, [key]: event.target.value })}
              />
              <span id={`${key}-wrong`} className={styles.hint} data-wrong={isWrong}>
                {least} to {most}
              </span>
            </label>
          )
        })}
      </div>
      <div data-testid="sizing" aria-live="polite">
        {plan === null ? <p>One of the numbers is not within its bounds.</p> : <Sized plan={plan} />}
      </div>
    </>
  )
}

function Sized({ plan }: { readonly plan: PlantPlan }) {
  const { gateway, ...plant } = sizeOf(plan)
  return (
    <div className={styles.sized}>
      <FactTable
        caption="Each gateway"
        head={['What', 'Comes to', 'Worked out as']}
        rows={[
          ['Samples', perSecond(gateway.samplesPerSecond), 'channels × rate'],
          ['Samples on its disk', `${bytesInWords(gateway.sampleBytesPerDay)} a day`, 'samples × bytes a sample'],
          ['Figures on its disk', `${bytesInWords(gateway.figureBytesPerDay)} a day`, 'roll-ups and minutes'],
          ['Its store', bytesInWords(gateway.storeBytes), 'both × the days that are kept'],
          ['Messages sent on', perSecond(gateway.messagesPerSecond), '2 × (zones + devices) + 2, every period'],
          ['Sent on', rateInWords(gateway.sentBytesPerSecond), 'the same, with their sizes and heads'],
          [
            'Waits on its disk without a broker',
            `${bytesInWords(gateway.waitingBytesPerDay)} a day`,
            'one message a zone and device, every period',
          ],
          ['To its open pages', rateInWords(gateway.pageBytesPerSecond), 'pages × (zones × pictures + the rest)'],
        ]}
      />
      <FactTable
        caption="The plant"
        head={['What', 'Comes to', 'Worked out as']}
        rows={[
          ['Samples', perSecond(plant.samplesPerSecond), 'they stay at the gateways'],
          ['Connections at the broker', String(plant.brokerConnections), 'one a gateway'],
          ['Messages into the broker', perSecond(plant.messagesPerSecond), 'gateways × messages of each'],
          ['Into the broker', rateInWords(plant.brokerBytesPerSecond), 'gateways × what each sends on'],
          [
            'One history, messages as they came',
            `${bytesInWords(plant.historyJsonBytesPerYear)} a year`,
            'values alone, as JSON, not packed',
          ],
          [
            'One history, figures alone',
            `${bytesInWords(plant.historyFigureBytesPerYear)} a year`,
            '20 figures a zone, 16 bytes each, not packed',
          ],
        ]}
      />
    </div>
  )
}

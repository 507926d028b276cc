import Link from 'next/link'
import type { Comparison, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { formatNumber, NBSP } from '../format.ts'
import { SIDES, sidesOf } from '../sides.ts'
import styles from './AgreementNote.module.css'
import { isCompared } from './judged.ts'

/** More other paths than this are no help to anybody. */
const MOST_CANDIDATES = 3

/** What stands beside the agreement: how it was told, and, outside, which other web path would explain it. */
export function AgreementNote({ zone, fresh }: { readonly zone: ZoneInfo; readonly fresh: ZoneNow | null }) {
  const geometry = `/geometry?zone=${encodeURIComponent(zone.id)}`
  if (!isCompared(zone))
    return (
      <p className={styles.note} data-testid="no-geometry">
        <Link href={geometry}>Enter the geometry</Link> to compare with what it should be.
      </p>
    )
  const comparison = fresh?.comparison
  if (comparison === undefined) return null
  return (
    <div className={styles.note} data-testid="agreement-note">
      <p>{inWords(comparison)}</p>
      {comparison.candidates.length > 0 && (
        <p className={styles.candidates} data-testid="candidates">
          {candidatesInWords(comparison, zone)} <Link href={geometry}>Look at the web path</Link>
        </p>
      )}
    </div>
  )
}

function inWords({ percent, en, reference }: Comparison): string {
  const from = reference === 'typed' ? 'typed set value, no reference channel' : 'reference channel'
  if (percent === null) return `Expected from the ${from}.`
  const shown = formatNumber(percent, 1)
  const sign = percent > 0 && /[1-9]/.test(shown) ? '+' : ''
  const number = en === null ? '' : `, En = ${formatNumber(en, 2)} for information`
  return `${sign}${shown}${NBSP}% of expected, from the ${from}${number}.`
}

/** "The ratio 0.71 would fit the web with chill roller passed on the other side." */
function candidatesInWords({ candidates, ratio }: Comparison, zone: ZoneInfo): string {
  const shown = sidesOf(zone).flatMap((side) => {
    const value = ratio[side]
    return value === null || value === undefined ? [] : [{ name: SIDES[side].name, text: formatNumber(value, 2) }]
  })
  const [first] = shown
  const isOne = shown.every(({ text }) => text === first?.text)
  const what = isOne
    ? `The ratio ${first?.text ?? ''} of measured to expected`
    : `The ratios of measured to expected, ${shown.map(({ name, text }) => `${text} on the ${name}`).join(' and ')},`
  const paths = candidates.slice(0, MOST_CANDIDATES).map(({ words }) => `the web with ${words}`)
  return `${what} would fit ${paths.join(', or ')}.`
}

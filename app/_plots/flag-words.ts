import { formatDuration, formatNumber, NBSP } from '../_ui/format.ts'
import type { Flag } from './flags.ts'
import { reasonInWords } from './reason.ts'
import { clockText } from './time-ticks.ts'

/** From here on whole seconds are told, under it hundredths. */
const LONG_S = 10

/** `10:39:41 to now, 52 s: drive side, no value, the device did not answer` */
export function flagInWords(flag: Flag, columns: readonly { readonly label: string }[], isPaused: boolean): string {
  const seconds = (flag.toMs - flag.fromMs) / 1000
  const length = seconds < LONG_S ? `${formatNumber(seconds, 2)}${NBSP}s` : formatDuration(seconds)
  const what = flag.kind === 'gap' ? 'no value' : 'uncertain'
  return `${timeInWords(flag, seconds, isPaused)}, ${length}: ${whoInWords(flag, columns)}, ${what}, ${reasonInWords(flag.reason)}`
}

function timeInWords(flag: Flag, seconds: number, isPaused: boolean): string {
  const step = seconds < LONG_S ? 100 : 1000
  const from = clockText(flag.fromMs, step)
  if (flag.isOpen && !isPaused) return `${from} to now`
  return seconds < 1 ? from : `${from} to ${clockText(flag.toMs, step)}`
}

function whoInWords(flag: Flag, columns: readonly { readonly label: string }[]): string {
  if (flag.columns.length === columns.length && columns.length > 1) return 'all signals'
  return flag.columns.map((column) => columns[column]?.label ?? 'a signal').join(' and ')
}

/** How many there are, as the end of a sentence. */
export function flagCount(flags: number): string {
  if (flags === 0) return 'No gaps'
  return flags === 1 ? '1 flagged stretch' : `${flags} flagged stretches`
}

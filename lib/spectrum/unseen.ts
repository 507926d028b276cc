import { HANN_RESOLUTION } from './hann.ts'
import { hiddenMains } from './hidden-mains.ts'
import { LOWEST_BIN } from './lines.ts'
import type { SignalSpectrum } from './signal-spectrum.ts'
import { hertz } from './words.ts'
import type { ZoneSources } from './zone-sources.ts'

/** What a spectrum cannot see, a sentence each, in the order in which it matters. */
export function unseen(spectrum: SignalSpectrum, sources: ZoneSources, skewMs: number | null): string[] {
  const { rateHz, binHz } = spectrum
  const half = hertz(rateHz / 2)
  return [
    `Sampled ${hertz(rateHz, '')} times a second, nothing faster than ${half} is seen as itself: it shows folded down. What the amplifier's own filter takes away before that is not known here, so any line may be a folded one. The faster a line truly is, the more of it is lost to answers that come late.`,
    `A line slower than ${hertz(LOWEST_BIN * binHz)} is not told from a drift, and two lines nearer than ${hertz(HANN_RESOLUTION * binHz)} are seen as one.`,
    ...hiddenMains(rateHz, binHz).map(({ sentence }) => sentence),
    ...unnamed(sources),
    ...apart(skewMs, rateHz),
  ]
}

function unnamed({ hasGeometry, naturalHz, running, ownTurn }: ZoneSources): string[] {
  const found: string[] = []
  if (!hasGeometry && ownTurn === null)
    found.push('No roller can be named: the config has no web path (geometry) for this zone.')
  if (hasGeometry && running.state === 'unknown')
    found.push('No roller can be named: the speed of the web is not known.')
  if (naturalHz === null)
    found.push(
      'The natural frequency of the roller on its cells is not known: natural_frequency_hz of the zone would tell it.',
    )
  return found
}

/** From here on a line that is equal on both sides leaves a tenth of itself in the difference: 2 sin(πfδ) = 0.1. */
const LEFT_OVER = 0.1

function apart(skewMs: number | null, rateHz: number): string[] {
  if (skewMs === null || skewMs === 0) return []
  const from = Math.asin(LEFT_OVER / 2) / (Math.PI * Math.abs(skewMs / 1000))
  if (from > rateHz / 2) return []
  return [
    `The two sides are read ${Math.abs(skewMs).toFixed(1)} ms apart: above ${hertz(from)} a line that is equal on both leaves more than a tenth of itself in the difference.`,
  ]
}

import { formatNumber } from '../../format.ts'
import { roundTicks } from '../../round-ticks.ts'
import type { ToldSignal } from './signals.ts'

export const LEFT = 64
export const RIGHT = 12
export const TOP = 62
export const BOTTOM = 44
export const HEIGHT = 320

export type Axis = 'hertz' | 'turns'

/** Places in the picture: frequency along, amplitude up, each step of ten as high as the next. */
export interface SpectrumFrame {
  readonly width: number
  readonly x: (hz: number) => number
  readonly y: (newtons: number) => number
  /** Where a mark stands, Hz, and what is written there. */
  readonly xTicks: readonly { readonly hz: number; readonly text: string }[]
  /** Powers of ten in the reader's unit, as newtons, and what is written there. */
  readonly yTicks: readonly { readonly newtons: number; readonly text: string }[]
  readonly lowestHz: number
}

/** @param unitsPerNewton of the reader's unit of force @param turnHz turns of the measuring roller a second, for that axis */
export function spectrumFrame(
  told: readonly ToldSignal[],
  width: number,
  unitsPerNewton: number,
  turnHz: number | null,
): SpectrumFrame {
  const toHz = Math.max(...told.map(({ view }) => view.rateHz / 2))
  const lowestHz = Math.min(...told.map(({ view }) => view.lowestHz))
  const [low, high] = decades(told, unitsPerNewton)
  const unit = turnHz ?? 1
  const up = (newtons: number): number => (Math.log10(newtons * unitsPerNewton) - low) / (high - low)
  return {
    width,
    x: (hz) => LEFT + (hz / toHz) * (width - LEFT - RIGHT),
    y: (newtons) => HEIGHT - BOTTOM - Math.max(0, up(newtons)) * (HEIGHT - TOP - BOTTOM),
    xTicks: roundTicks(0, toHz / unit, width < 500 ? 5 : 10).map((tick) => ({ hz: tick * unit, text: String(tick) })),
    yTicks: Array.from({ length: high - low + 1 }, (_, i) => ({
      newtons: 10 ** (low + i) / unitsPerNewton,
      text: powerText(low + i),
    })),
    lowestHz,
  }
}

/** Whole powers of ten around all that is drawn, two steps at least. */
function decades(told: readonly ToldSignal[], unitsPerNewton: number): readonly [number, number] {
  let [least, most] = [Number.POSITIVE_INFINITY, 0]
  for (const { view } of told)
    view.amplitude.forEach((newtons, i) => {
      if (view.startHz + i * view.stepHz < view.lowestHz || !(newtons > 0)) return
      least = Math.min(least, newtons, view.floor[i] ?? newtons)
      most = Math.max(most, newtons)
    })
  if (!(most > 0)) return [-2, 0]
  const high = Math.ceil(Math.log10(most * unitsPerNewton))
  const low = Math.floor(Math.log10(least * unitsPerNewton))
  return [Math.max(high - 5, Math.min(low, high - 2)), high]
}

const powerText = (power: number): string => formatNumber(10 ** power, Math.max(0, -power))

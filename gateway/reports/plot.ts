import { inReadersUnit } from '../../lib/texts/reader-units.ts'
import type { UnitChoice } from '../../shared/unit-choice.ts'
import { type Html, html } from './html.ts'

export interface PlotFrame {
  readonly width: number
  readonly height: number
  readonly x: readonly [from: number, to: number]
  readonly y: readonly [from: number, to: number]
  readonly xUnit: string
  readonly yUnit: string
}

const [LEFT, RIGHT, TOP, BOTTOM] = [46, 6, 14, 18]

/** A frame to draw in: its places, and its axes with their ends and units. */
export function plotFrame({ width, height, x, y, xUnit, yUnit }: PlotFrame) {
  const at = {
    x: (v: number) => LEFT + ((v - x[0]) / (x[1] - x[0])) * (width - LEFT - RIGHT),
    y: (v: number) => TOP + ((y[1] - v) / (y[1] - y[0])) * (height - TOP - BOTTOM),
  }
  const decimals = Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(y[1] - y[0]))))
  const axes: Html = html`<rect x="${LEFT}" y="${TOP}" width="${width - LEFT - RIGHT}" height="${height - TOP - BOTTOM}" class="frame"/>
${y[0] < 0 && y[1] > 0 ? html`<path d="M${LEFT} ${at.y(0).toFixed(1)}H${width - RIGHT}" class="zero"/>` : null}
<text x="${LEFT - 4}" y="${TOP + 8}" class="end">${y[1].toFixed(decimals)}</text><text x="${LEFT - 4}" y="${height - BOTTOM}" class="end">${y[0].toFixed(decimals)}</text>
<text x="2" y="10">${yUnit}</text><text x="${LEFT}" y="${height - 5}">${x[0]}</text><text x="${width - RIGHT}" y="${height - 5}" class="end">${Number(x[1].toPrecision(4))} ${xUnit}</text>`
  return { at, axes }
}

/** A little room over and under what is drawn; never an empty stretch. */
function roomAround(values: readonly number[], least = 0): readonly [number, number] {
  const low = Math.min(...values)
  const high = Math.max(...values)
  const room = Math.max((high - low) * 0.08, least, Math.abs(high) * 1e-6, 1e-6)
  return [low - room, high + room]
}

/** Forces in the reader's unit: how one is told in it, and the stretch of the axis with its room (`least` in N). */
export function forceAxis(forces: readonly number[], units: UnitChoice, least = 0) {
  const { unit, value } = inReadersUnit('N', units)
  const [low, high] = roomAround(forces, least)
  return { unit, value, stretch: [value(low), value(high)] as const }
}

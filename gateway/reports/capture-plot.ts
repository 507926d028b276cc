import { plusMinus } from '../../lib/statistics/plus-minus.ts'
import { sampledSeconds } from '../../lib/verification/captured.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { PlanTest } from '../../shared/schemas/verification/plan.ts'
import type { Reading } from './entry-part.ts'
import { eachAlone, type Html, html, joined } from './html.ts'
import { forceAxis, plotFrame } from './plot.ts'
import { SIDE_WORDS, typedWords } from './words.ts'

/** From three on they stand side by side. */
const WIDE = { width: 640, height: 140 }
const SMALL = { width: 210, height: 100 }

/** The captures of a result: each with its picture, what was told with it, and the stretch of the store it is. */
export function capturesPart(captures: readonly Capture[], test: PlanTest, reading: Reading): Html | null {
  if (captures.length === 0) return null
  const size = captures.length > 2 ? SMALL : WIDE
  const isPair = captures.some(({ sides }) => !('single' in sides))
  return html`<p class="key">Captured: force along the arrow over time;${isPair ? ' drive side a full line, operator side a dashed one;' : ''} no line where no sample was good. Means ± twice their standard uncertainty.</p>
<div class="captures" data-small="${size === SMALL ? 'yes' : 'no'}">${captures.map((capture) => capturePart(capture, test, size, reading))}</div>`
}

function capturePart(capture: Capture, test: PlanTest, size: typeof WIDE, { time, units }: Reading): Html {
  const planned = test.captures.find(({ id }) => id === capture.capture)
  const told = typedWords(capture.values, planned?.fields ?? [])
  const seconds = (capture.toMs - capture.fromMs) / 1000
  return html`<figure>${tracePlot(capture, size, units)}<figcaption><b>${joined([html`<span>${planned?.label ?? capture.capture}</span>`, ...told], '; ')}</b> ${time(capture.fromMs)}, ${eachAlone([`${seconds.toFixed(1)} s`, ...sampledWords(capture), ...meansOf(capture)], '; ')}.</figcaption></figure>`
}

/** Which part of a long capture was read sample by sample: its picture, its means and its lines are of that alone. */
const sampledWords = (capture: Capture): readonly string[] =>
  capture.sampledFromMs === undefined
    ? []
    : [
        `picture, means and lines of its last ${sampledSeconds(capture).toFixed(1)} s, what moved over all of it by its minutes`,
      ]

/** "drive side 38.50 ± 0.04 N; operator side no good sample". */
function meansOf({ sides, change, speed, reference }: Capture): readonly string[] {
  const each = Object.entries(sides).map(([side, of]) => {
    const where = SIDE_WORDS[side] ?? side
    if (of.force === null) return `${where}: no good sample of ${of.samples}`
    const bad = of.samples - of.good
    const moved = (change as Readonly<Record<string, Capture['change'][keyof Capture['change']]>>)[side]
    return [
      `${where} ${plusMinus(of.force.value, 2 * of.force.u)} N`,
      ...(moved == null ? [] : [`moved by ${plusMinus(moved.by.value, 2 * moved.by.u)} N`]),
      ...(bad === 0 ? [] : [`${bad} of ${of.samples} samples not good`]),
    ].join(', ')
  })
  const beside = [
    ...(speed === null ? [] : [`speed ${plusMinus(speed.value * 60, 120 * speed.u)} m/min`]),
    ...(reference === null ? [] : [`set tension ${plusMinus(reference.value, 2 * reference.u)} N`]),
  ]
  return [...each, ...beside]
}

/** The picture of a capture; a gap where there was no good sample, none where there are fewer than two. */
function tracePlot({ trace, fromMs, toMs }: Capture, size: typeof WIDE, units: Reading['units']): Html | null {
  const sides = Object.entries(trace.sides)
  const values = sides.flatMap(([, column]) => column.filter((v) => v !== null))
  if (values.length < 2) return null
  const seconds = Math.max((toMs - fromMs) / 1000, 1e-3)
  const { unit, value, stretch } = forceAxis(values, units, 0.05)
  const { at, axes } = plotFrame({ ...size, x: [0, seconds], y: stretch, xUnit: 's', yUnit: unit })
  const label = `Force of ${sides.map(([side]) => SIDE_WORDS[side] ?? side).join(' and ')} over ${seconds.toFixed(1)} s, from ${Math.min(...values).toFixed(2)} to ${Math.max(...values).toFixed(2)} N`
  return html`<svg class="plot" viewBox="0 0 ${size.width} ${size.height}" role="img" aria-label="${label}">${axes}${sides.map(
    ([side, column]) =>
      html`<path d="${pathOf(trace.t, column, { x: at.x, y: (force) => at.y(value(force)) })}" class="trace" data-side="${side}"/>`,
  )}</svg>`
}

function pathOf(
  t: readonly number[],
  column: readonly (number | null)[],
  at: { x: (v: number) => number; y: (v: number) => number },
): string {
  let path = ''
  let isDown = false
  for (const [i, value] of column.entries()) {
    const time = t[i]
    if (value === null || time === undefined) {
      isDown = false
      continue
    }
    path += `${isDown ? 'L' : 'M'}${at.x(time).toFixed(1)} ${at.y(value).toFixed(1)}`
    isDown = true
  }
  return path
}

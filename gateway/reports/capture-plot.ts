import type { Capture } from '../../shared/schemas/verification.ts'
import { type Html, html, Html as Raw } from './html.ts'
import { SIDE_WORDS } from './words.ts'

const [WIDTH, HEIGHT, LEFT, BOTTOM] = [640, 150, 52, 22]
const LOOKS: Readonly<Record<string, { readonly colour: string; readonly dash: string }>> = {
  drive_side: { colour: 'var(--drive)', dash: 'none' },
  operator_side: { colour: 'var(--operator)', dash: '6 3' },
  single: { colour: 'var(--ink)', dash: 'none' },
}

/** The picture of a capture: force of each side over time, a gap where there was no good sample. */
export function capturePlot({ trace, fromMs, toMs, capture }: Capture): Html | null {
  const sides = Object.entries(trace.sides)
  const values = sides.flatMap(([, column]) => column.filter((v) => v !== null))
  if (values.length < 2) return null
  const seconds = (toMs - fromMs) / 1000
  const low = Math.min(...values)
  const high = Math.max(...values)
  const pad = Math.max((high - low) * 0.08, 0.5)
  const x = (t: number) => LEFT + (t / seconds) * (WIDTH - LEFT - 4)
  const y = (v: number) => 6 + ((high + pad - v) / (high - low + 2 * pad)) * (HEIGHT - BOTTOM - 6)
  const lines = sides.map(([side, column]) => {
    const { colour, dash } = LOOKS[side] ?? LOOKS.single ?? { colour: 'black', dash: 'none' }
    return html`<path d="${pathOf(trace.t, column, x, y)}" fill="none" stroke="${colour}" stroke-dasharray="${dash}" stroke-width="1.5"/>`
  })
  const label = `Force of ${sides.map(([side]) => SIDE_WORDS[side]).join(' and ')} over ${seconds.toFixed(0)} s, from ${low.toFixed(1)} to ${high.toFixed(1)} N`
  return html`<figure><svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${label}">
<rect x="${LEFT}" y="6" width="${WIDTH - LEFT - 4}" height="${HEIGHT - BOTTOM - 6}" fill="none" stroke="#83898d"/>
<text x="${LEFT - 4}" y="${(y(high) + 4).toFixed(0)}" text-anchor="end" font-size="11">${high.toFixed(1)}</text>
<text x="${LEFT - 4}" y="${(y(low) + 4).toFixed(0)}" text-anchor="end" font-size="11">${low.toFixed(1)}</text>
<text x="4" y="12" font-size="11">N</text>
<text x="${LEFT}" y="${HEIGHT - 6}" font-size="11">0</text>
<text x="${WIDTH - 4}" y="${HEIGHT - 6}" text-anchor="end" font-size="11">${seconds.toFixed(1)} s</text>
${lines}</svg><figcaption class="soft">${capture}: ${new Raw(legend(sides.map(([side]) => side)))}</figcaption></figure>`
}

const legend = (sides: readonly string[]): string =>
  sides.map((side) => `${SIDE_WORDS[side]} ${side === 'operator_side' ? '(dashed)' : '(full line)'}`).join(', ')

function pathOf(
  t: readonly number[],
  column: readonly (number | null)[],
  x: (t: number) => number,
  y: (v: number) => number,
): string {
  let path = ''
  let isDown = false
  for (const [i, value] of column.entries()) {
    if (value === null) {
      isDown = false
      continue
    }
    path += `${isDown ? 'L' : 'M'}${x(t[i] ?? 0).toFixed(1)} ${y(value).toFixed(1)}`
    isDown = true
  }
  return path
}

import { add, times, type Vector } from '../../../lib/geometry/vector.ts'
import type { DrawnPath } from '../_model/path.ts'
import styles from './SideView.module.css'
import { directionInPicture, toPicture, type ViewFrame } from './view-frame.ts'
import { webLines } from './web-line.ts'

/** The web along its spans and wraps, with the way it travels; a dashed line where it cannot run. */
export function WebLines({ path, frame }: { readonly path: DrawnPath; readonly frame: ViewFrame }) {
  const text = (points: readonly Vector[]) =>
    points
      .map((point) => toPicture(frame, point))
      .map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`)
      .join(' ')
  return (
    <g>
      {webLines(path).map((line, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: stretches have no name but their order
        <polyline key={i} className={styles.web} points={text(line)} />
      ))}
      {path.spans.map((span, i) => {
        const [from, to] = [path.rollers[i], path.rollers[i + 1]]
        if (from === undefined || to === undefined) return null
        const key = `${from.name} to ${to.name}`
        if (span === null)
          return <polyline key={key} className={styles.noWeb} points={text([from.centre, to.centre])} />
        const middle = toPicture(frame, add(span.from, times(span.direction, span.length / 2)))
        return span.length * frame.scale < 40 ? null : (
          <Chevron key={key} at={middle} way={directionInPicture(frame, span.direction)} />
        )
      })}
    </g>
  )
}

function Chevron({ at, way }: { readonly at: Vector; readonly way: Vector }) {
  const turn = (Math.atan2(way.y, way.x) * 180) / Math.PI
  return (
    <path
      className={styles.chevron}
      d="M-7 -9L6 0L-7 9"
      transform={`translate(${at.x.toFixed(1)} ${at.y.toFixed(1)}) rotate(${turn.toFixed(2)})`}
    />
  )
}

'use client'

import { useCallback, useEffect, useId, useRef, useState } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { ringOf, stream } from '../../_stream/store.ts'
import { conversionOf } from '../format.ts'
import { SIDES, sidesOf } from '../sides.ts'
import { useUnits } from '../units.tsx'
import { AcrossRuler } from './AcrossRuler.tsx'
import styles from './Beam.module.css'
import { BeamKey } from './BeamKey.tsx'
import { BeamPainter, SHIVER_WIDTH } from './beam-painter.ts'
import { beamMeans, beamPicture, endX } from './beam-picture.ts'
import { type BeamAxis, type BeamLayout, beamAxis, beamLayout, ticksOf, yOf } from './beam-scale.ts'
import { tickLabel } from './tick-label.ts'
import { useWidth } from './use-width.ts'

/** With reduced motion the beam moves once a second instead of with every frame. */
const CALM_INTERVAL_MS = 1000

interface BeamProps {
  readonly zone: ZoneInfo
  readonly fresh: ZoneNow | null
  readonly isFlipped: boolean
}

/**
 * Front view of the measuring roller as a beam: the height of each end is what that side carries. The
 * frame around it is React's and changes seldom; the moving parts are painted from the newest samples
 * at display rate.
 */
export function Beam({ zone, fresh, isFlipped }: BeamProps) {
  const units = useUnits()
  const [box, width] = useWidth()
  const layout = beamLayout(width ?? 800, zone.cellDistanceM !== null, sidesOf(zone).length)
  const means = beamMeans(zone)
  const unit = conversionOf('N', units.choice).unit
  const axisKey = `${zone.id} ${means} ${unit}`
  const [kept, setKept] = useState<{ key: string; axis: BeamAxis } | null>(null)
  const capacity = conversionOf('N', units.choice).value(Math.max(...Object.values(zone.capacityN)))
  const axis = kept?.key === axisKey ? kept.axis : beamAxis([], null, capacity)
  const root = useRef<SVGSVGElement>(null)
  const inputs = { zone, fresh, units, layout, isFlipped, previousAxis: kept?.key === axisKey ? kept.axis : null }
  const paint = useCallback(
    (painter: BeamPainter, current: typeof inputs) => {
      const isLive = stream().link.phase === 'live'
      const picture = beamPicture({
        ...current,
        ring: ringOf(current.zone.id),
        isLive,
        nowMs: stream().gatewayNow() ?? 0,
      })
      painter.paint(picture)
      const isKnown = picture.ends.some((end) => end.reading.state !== 'unknown')
      if (isKnown && picture.axis !== current.previousAxis) setKept({ key: axisKey, axis: picture.axis })
    },
    [axisKey],
  )
  useFrames(root, inputs, paint)
  const what = beamTitle(means, sidesOf(zone).length)
  return (
    <div className={styles.beam}>
      <div ref={box} className={styles.box} style={{ blockSize: layout.height }}>
        {width !== null && (
          <svg
            ref={root}
            width={layout.width}
            height={layout.height}
            role="img"
            aria-label={`Front view of the measuring roller as a beam: ${what.toLowerCase()} as the height of its end. The figures beside it say the same in numbers.`}
            data-testid="beam"
          >
            <Frame layout={layout} axis={axis} title={`${what}, ${unit}`} />
            <WebBelow />
            <polygon className={styles.ghost} data-part="ghost" data-testid="ghost" display="none" />
            {zone.cellDistanceM !== null && (
              <line
                className={styles.centre}
                x1={layout.middleX}
                x2={layout.middleX}
                y1={layout.top}
                y2={layout.rulerY}
              />
            )}
            {zone.cellDistanceM !== null && (
              <AcrossRuler layout={layout} cellDistanceM={zone.cellDistanceM} isFlipped={isFlipped} />
            )}
            <Roller />
            {sidesOf(zone).map((side) => (
              <End key={side} side={side} layout={layout} x={endX(layout, side, isFlipped)} />
            ))}
            <line className={styles.ghostLine} data-part="ghost-line" display="none" />
            <Pull layout={layout} />
          </svg>
        )}
      </div>
      <BeamKey zone={zone} fresh={fresh} />
    </div>
  )
}

function beamTitle(means: 'tension' | 'force', cells: number): string {
  const what = means === 'tension' ? 'Web tension' : 'Force along the arrow'
  return cells === 1 ? what : `${what} of each side`
}

/** Paints in every frame in which something can have changed, with the newest inputs of React. */
function useFrames<T>(
  root: React.RefObject<SVGSVGElement | null>,
  inputs: T,
  paint: (painter: BeamPainter, inputs: T) => void,
): void {
  const newest = useRef(inputs)
  useEffect(() => {
    newest.current = inputs
  })
  useEffect(() => {
    const calm = matchMedia('(prefers-reduced-motion: reduce)')
    let painter: BeamPainter | null = null
    let painted = Number.NEGATIVE_INFINITY
    let frame = 0
    const step = (time: number) => {
      frame = requestAnimationFrame(step)
      const svg = root.current
      if (svg === null || (calm.matches && time - painted < CALM_INTERVAL_MS)) return
      painter ??= new BeamPainter(svg)
      painted = time
      paint(painter, newest.current)
    }
    frame = requestAnimationFrame(step)
    return () => cancelAnimationFrame(frame)
  }, [root, paint])
}

function Frame({
  layout,
  axis,
  title,
}: {
  readonly layout: BeamLayout
  readonly axis: BeamAxis
  readonly title: string
}) {
  return (
    <g className={styles.frame}>
      <text className={styles.axisTitle} x="0" y="14">
        {title}
      </text>
      {ticksOf(axis).map((tick) => {
        const y = yOf(layout, axis, tick)
        const isZero = Math.abs(tick) < axis.step / 2
        return (
          <g key={tick}>
            <line className={isZero ? styles.zero : styles.tick} x1={layout.axisX} x2={layout.width} y1={y} y2={y} />
            <text x={layout.axisX - 10} y={y} dy="0.35em" textAnchor="end">
              {tickLabel(tick, axis.step)}
            </text>
          </g>
        )
      })}
    </g>
  )
}

function WebBelow() {
  return (
    <g data-part="web" display="none">
      <polygon className={styles.web} data-part="web-below" />
      <path className={styles.webEdge} data-part="web-edges" />
    </g>
  )
}

function Roller() {
  return (
    <g data-part="roller" display="none">
      <line className={styles.shaft} data-part="shaft" />
      <polygon className={styles.face} data-part="face" />
      <polygon className={styles.webOnRoller} data-part="web-on-roller" />
      <line className={styles.shine} data-part="shine" />
    </g>
  )
}

function End({ side, layout, x }: { readonly side: Side; readonly layout: BeamLayout; readonly x: number }) {
  const { color, wash, dash, title } = SIDES[side]
  const hatch = useId()
  const isLeft = x < layout.middleX
  const height = layout.bottom - layout.top
  const textX = isLeft ? x + 26 : x - 26
  const textY = layout.top + height * (isLeft ? 0.3 : 0.62)
  return (
    <g data-part={`end-${side}`} data-testid={`beam-end-${side}`} data-state="unknown">
      <g data-part={`known-${side}`} display="none">
        <rect
          data-part={`shiver-${side}`}
          className={styles.shiver}
          width={SHIVER_WIDTH}
          style={{ fill: wash, stroke: color }}
        />
        <line
          className={styles.post}
          data-part={`post-${side}`}
          style={{ stroke: color }}
          strokeDasharray={dash === null ? undefined : '15 5'}
        />
        <path className={styles.bracket} data-part={`bracket-${side}`} display="none" />
        <circle className={styles.bearing} data-part={`bearing-${side}`} r="8" style={{ stroke: color }} />
      </g>
      <g data-part={`unknown-${side}`} className={styles.unknown}>
        <pattern id={hatch} width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line className={styles.hatch} x1="0" x2="0" y1="0" y2="8" />
        </pattern>
        <rect x={x - 15} y={layout.top} width="30" height={height} style={{ fill: `url(#${CSS.escape(hatch)})` }} />
        <text className={styles.unknownWord} x={textX} y={textY} textAnchor={isLeft ? 'start' : 'end'}>
          unknown
        </text>
        <text data-part={`reason-${side}`} x={textX} y={textY + 20} textAnchor={isLeft ? 'start' : 'end'} />
      </g>
      <text className={styles.sideName} x={x} y={layout.bottom + 22} textAnchor="middle">
        {title}
      </text>
    </g>
  )
}

function Pull({ layout }: { readonly layout: BeamLayout }) {
  return (
    <g data-part="pull" display="none">
      <line className={styles.riser} data-part="pull-riser" />
      <rect className={styles.pullBar} data-part="pull-bar" height="10" />
      <path className={styles.pullMarker} data-part="pull-marker" d="M0 -3L9 -18H-9z" />
      <text
        className={styles.pullText}
        data-part="pull-text"
        data-testid="line-of-pull"
        y={layout.rulerY + 46}
        textAnchor="middle"
      />
    </g>
  )
}

import { qualityOf } from '../../../shared/quality.ts'
import type { Side } from '../../../shared/sample.ts'
import type { Figure, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import type { ZoneRing } from '../../_stream/ring.ts'
import { conversionOf } from '../format.ts'
import { sideNow, sidesOf } from '../sides.ts'
import type { Units } from '../units.tsx'
import type { BeamPicture, PaintedEnd, PaintedGhost, PaintedPull } from './beam-painter.ts'
import { type BeamAxis, type BeamLayout, beamAxis, xOf } from './beam-scale.ts'
import { type EndReading, endReading } from './end-reading.ts'

export interface BeamInputs {
  readonly zone: ZoneInfo
  readonly ring: ZoneRing | null
  /** Null when nothing may be shown as a number. */
  readonly fresh: ZoneNow | null
  readonly isLive: boolean
  /** Gateway's clock, epoch ms. */
  readonly nowMs: number
  readonly units: Units
  readonly layout: BeamLayout
  readonly isFlipped: boolean
  readonly previousAxis: BeamAxis | null
}

/** `tension` when the page can turn streamed forces into web tension, else `force`. */
export function beamMeans(zone: ZoneInfo): 'tension' | 'force' {
  const isKnown = sidesOf(zone).every((side) => factorOf(zone, side) !== null)
  return zone.totalMeans === 'tension' && isKnown ? 'tension' : 'force'
}

function factorOf(zone: ZoneInfo, side: Side): number | null {
  const factor = zone.forceFactor?.[side]
  return factor === undefined || factor === 0 ? null : factor
}

/** Everything the painter needs for one frame. Pure: rings, statistics and clock are arguments. */
export function beamPicture(inputs: BeamInputs): BeamPicture {
  const { zone, layout } = inputs
  const sides = sidesOf(zone)
  const readings = sides.map((side) => shownReading(inputs, side))
  const known = readings.flatMap((r) => (r.state === 'unknown' ? [] : [r.value]))
  const toShown = conversionOf('N', inputs.units.choice).value
  const capacity = toShown(Math.max(...Object.values(zone.capacityN)))
  const ghost = paintedGhost(inputs)
  const axis = beamAxis([...known, ...(ghost ?? []).map(({ value, U }) => value + U)], inputs.previousAxis, capacity)
  return {
    layout,
    axis,
    ends: sides.map((side, i) => paintedEnd(inputs, side, readings[i] ?? { state: 'unknown', code: 'no-samples' })),
    pull: paintedPull(inputs),
    ghost,
    web: webEdges(inputs),
  }
}

export function endX(layout: BeamLayout, side: Side, isFlipped: boolean): number {
  if (side === 'single') return layout.leftX
  const isLeft = (side === 'drive_side') !== isFlipped
  return isLeft ? layout.leftX : layout.rightX
}

function shownReading({ zone, ring, fresh, isLive, nowMs, units }: BeamInputs, side: Side): EndReading {
  const told = sideNow(fresh, side)
  if (!isLive || ring === null || told === null) return { state: 'unknown', code: 'no-samples' }
  if (qualityOf(told.live.code) === 'bad') return { state: 'unknown', code: told.live.code }
  const factor = beamMeans(zone) === 'tension' ? (factorOf(zone, side) ?? 1) : 1
  const reading = endReading(ring, ring.columnOf(side), nowMs, factor)
  if (reading.state === 'unknown') return reading
  const { value } = conversionOf('N', units.choice)
  const momentum = momentumOf(zone, fresh, side)
  const shown = (newtons: number) => value(newtons + momentum)
  return { ...reading, value: shown(reading.value), low: shown(reading.low), high: shown(reading.high) }
}

/** The part of m·v² that a side carries, N, where the beam shows tension; 0 where it shows force. */
function momentumOf(zone: ZoneInfo, fresh: ZoneNow | null, side: Side): number {
  if (beamMeans(zone) === 'force') return 0
  const momentum = fresh?.comparison?.momentum ?? 0
  if (side === 'single' || zone.cellDistanceM === null) return momentum
  const lean = (side === 'operator_side' ? 1 : -1) * (zone.webOffsetM / zone.cellDistanceM)
  return momentum * (0.5 + lean)
}

/** The beam as it should be, in what the beam shows; null unless every end is told. */
function paintedGhost({ zone, fresh, layout, isFlipped, units, isLive }: BeamInputs): readonly PaintedGhost[] | null {
  if (!isLive) return null
  const { value, difference } = conversionOf('N', units.choice)
  const ends = sidesOf(zone).flatMap((side): PaintedGhost[] => {
    const expected = sideNow(fresh, side)?.expected
    if (expected?.value == null || expected.U === null) return []
    const factor = beamMeans(zone) === 'tension' ? (factorOf(zone, side) ?? 1) : 1
    return [
      {
        x: endX(layout, side, isFlipped),
        value: value(expected.value / factor + momentumOf(zone, fresh, side)),
        U: difference(Math.abs(expected.U / factor)),
      },
    ]
  })
  return ends.length === sidesOf(zone).length ? ends : null
}

function paintedEnd(inputs: BeamInputs, side: Side, reading: EndReading): PaintedEnd {
  const x = endX(inputs.layout, side, inputs.isFlipped)
  const code = reading.state === 'unknown' ? reading.code : 'good'
  const reason = inputs.isLive ? reasonInWords(code) : 'no connection to the gateway'
  return { side, x, reading, reason, allowed: allowedAt(inputs, side) }
}

/**
 * Where an end may stand for the side difference to be inside, from the window's mean of both: with
 * I = (OS − DS)/(OS + DS), OS = mean × (1 + I) and DS = mean × (1 − I).
 */
function allowedAt({ zone, fresh, units }: BeamInputs, side: Side): readonly [number, number] | null {
  const limit = fresh?.imbalance?.limit ?? null
  const total = meanOfBoth(zone, fresh)
  if (limit === null || total === null || side === 'single') return null
  const { value } = conversionOf('N', units.choice)
  const sign = side === 'operator_side' ? 1 : -1
  const at = (percent: number) => value(total * (1 + (sign * percent) / 100))
  return [at(limit.target - limit.half), at(limit.target + limit.half)]
}

/** Mean of the two ends in what the beam shows; null when not told. */
function meanOfBoth(zone: ZoneInfo, fresh: ZoneNow | null): number | null {
  const values = sidesOf(zone).map((side) => {
    const told = sideNow(fresh, side)
    const figure: Figure | undefined = beamMeans(zone) === 'tension' ? told?.tension : told?.force
    return figure?.value ?? null
  })
  const known = values.filter((v) => v !== null)
  return known.length === 2 ? known.reduce((sum, v) => sum + v, 0) / 2 : null
}

function paintedPull({ zone, fresh, layout, isFlipped, units }: BeamInputs): PaintedPull | null {
  const figure = fresh?.lineOfPull
  if (figure?.value == null || zone.cellDistanceM === null) return null
  const distance = zone.cellDistanceM
  const edges = [figure.value - (figure.U ?? 0), figure.value + (figure.U ?? 0)]
    .map((m) => xOf(layout, distance, m, isFlipped))
    .sort((a, b) => a - b)
  return {
    x: xOf(layout, distance, figure.value, isFlipped),
    fromX: Math.max(0, edges[0] ?? 0),
    toX: Math.min(layout.width, edges[1] ?? 0),
    text: pullInWords(figure.value, figure.U, units),
  }
}

/** `23 ± 8 mm towards operator side`. */
function pullInWords(valueM: number, U: number | null, units: Units): string {
  const shown = units.figure(Math.abs(valueM), U, 'm')
  const isMiddle = !/[1-9]/.test(shown.value)
  const towards = isMiddle ? 'from the middle' : `towards ${valueM > 0 ? 'operator side' : 'drive side'}`
  return `${shown.text} ${towards}`
}

function webEdges({ zone, layout, isFlipped }: BeamInputs): readonly [number, number] | null {
  if (zone.webWidthM === null || zone.cellDistanceM === null) return null
  const distance = zone.cellDistanceM
  const half = zone.webWidthM / 2
  const edges = [zone.webOffsetM - half, zone.webOffsetM + half]
    .map((m) => xOf(layout, distance, m, isFlipped))
    .sort((a, b) => a - b)
  return [edges[0] ?? 0, edges[1] ?? 0]
}

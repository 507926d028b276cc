import { useCallback, useEffect, useMemo, useState } from 'react'
import { stream } from '../../_stream/store.ts'
import { setQuery, useQuery } from '../../_ui/query.ts'
import { useRememberedText } from '../../_ui/remembered.ts'
import {
  choiceOf,
  DEFAULT_CHOICE,
  follows,
  queryOf,
  type ShiftChoice,
  type Span,
  spanOf,
  timeOf,
  timeText,
} from './shift-choice.ts'
import { shownOf, type Zoom } from './zoom.ts'

/** How often a followed shift grows, ms: as fast as a pixel of it, within reason. */
const LEAST_STEP_MS = 2000
const MOST_STEP_MS = 30_000
const PIXELS = 1200
/** The address follows a zooming hand a moment later. */
const ADDRESS_AFTER_MS = 400

export interface ShiftTimes {
  readonly choice: ShiftChoice
  readonly shift: Span
  readonly zoom: Zoom
  /** What is seen of the shift. */
  readonly shown: Span
  choose(choice: ShiftChoice): void
  zoomWith(step: (shift: Span, zoom: Zoom) => Zoom): void
}

/** The stretch that is looked at and the closer look within it; both stand in the address. */
export function useShiftTimes(): ShiftTimes {
  const [last, from, to, zoomText] = [useQuery('last'), useQuery('from'), useQuery('to'), useQuery('zoom')]
  const [remembered, remember] = useRememberedText('evenpull.shift.last', '')
  const choice = useMemo(
    () =>
      choiceOf({ last, from, to }) ?? choiceOf({ last: remembered || null, from: null, to: null }) ?? DEFAULT_CHOICE,
    [last, from, to, remembered],
  )
  const nowMs = useGatewayTime(choice)
  const shift = useMemo(() => spanOf(choice, nowMs), [choice, nowMs])
  const [zoom, setZoom] = useState<Zoom>(() => zoomOf(zoomText))
  useEffect(() => {
    const timer = setTimeout(
      () => setQuery('zoom', zoom === null ? null : textOfZoom(zoom), 'replace'),
      ADDRESS_AFTER_MS,
    )
    return () => clearTimeout(timer)
  }, [zoom])

  const choose = useCallback(
    (next: ShiftChoice) => {
      setZoom(null)
      setQuery('zoom', null, 'replace')
      const query = queryOf(next)
      if (next.kind === 'last') remember(query.last ?? '')
      for (const [index, name] of (['last', 'from', 'to'] as const).entries())
        setQuery(name, query[name], index === 0 ? 'push' : 'replace')
    },
    [remember],
  )
  const zoomWith = useCallback(
    (step: (shift: Span, zoom: Zoom) => Zoom) => setZoom((before) => step(shift, before)),
    [shift],
  )
  return { choice, shift, zoom, shown: shownOf(shift, zoom), choose, zoomWith }
}

const now = (): number => stream().gatewayNow() ?? Date.now()

/** Gateway time, moving in steps while a shift is followed and the page is seen. */
function useGatewayTime(choice: ShiftChoice): number {
  const [nowMs, setNow] = useState(now)
  useEffect(() => {
    // It stood still while no followed shift was looked at.
    setNow((before) => (now() - before < LEAST_STEP_MS ? before : now()))
    if (!follows(choice)) return
    const length = choice.kind === 'last' ? choice.hours * 3_600_000 : now() - choice.fromMs
    const step = Math.min(MOST_STEP_MS, Math.max(LEAST_STEP_MS, length / PIXELS))
    const look = () => {
      if (!document.hidden) setNow(now())
    }
    const timer = setInterval(look, step)
    document.addEventListener('visibilitychange', look)
    return () => {
      clearInterval(timer)
      document.removeEventListener('visibilitychange', look)
    }
  }, [choice])
  return nowMs
}

const textOfZoom = ({ fromMs, toMs }: Span): string => `${timeText(fromMs)}~${timeText(toMs)}`

function zoomOf(text: string | null): Zoom {
  const [fromMs, toMs] = (text ?? '').split('~').map(timeOf)
  return fromMs == null || toMs == null || !(toMs > fromMs) ? null : { fromMs, toMs }
}

import { type RefObject, useCallback, useMemo, useState } from 'react'
import type { ExpectedPoint } from '../../shared/protocol/expected.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { expectedOf, ringOf } from '../_stream/store.ts'
import { setQuery, useQuery } from '../_ui/query.ts'
import { type Cursors, NO_CURSORS, placeCursor } from './cursors.ts'
import type { Flag } from './flags.ts'
import { FrozenRows } from './frozen-rows.ts'
import type { Frame } from './use-trace-frames.ts'
import * as views from './view.ts'

const DEFAULT_WINDOW_MS = 30_000

/** Where the moving cursor is: under a pointer (a share of the width), or at a time the keys chose. */
export type Pointed = { readonly share: number } | { readonly tMs: number } | null

export interface TraceActions {
  chooseWindow(windowMs: number): void
  pause(): void
  resume(): void
  togglePause(): void
  scrubTo(toMs: number): void
  zoomTo(aMs: number, bMs: number): void
  /** Live: the next shorter (factor under 1) or longer window. Paused: around the cursor or the middle. */
  zoom(factor: number, aroundMs: number | null): void
  resetZoom(): void
  point(pointed: Pointed): void
  place(tMs: number): void
  setCursor(which: 'a' | 'b', tMs: number): void
  clearCursors(): void
  goTo(flag: Flag): void
}

export interface TraceState {
  readonly view: views.View
  readonly frozen: FrozenRows | null
  readonly frozenExpected: readonly ExpectedPoint[] | null
  readonly pointed: Pointed
  readonly cursors: Cursors
}

function windowOf(query: string | null): number {
  const asked = Number(query) * 1000
  return views.WINDOWS_MS.find((w) => w === asked) ?? DEFAULT_WINDOW_MS
}

interface Stopped {
  readonly view: views.PausedView
  readonly frozen: FrozenRows | null
  readonly expected: readonly ExpectedPoint[]
}

/** What the reader does with the traces of one zone. The window stands in the address. */
export function useTraces(zone: ZoneInfo, latest: RefObject<Frame | null>): readonly [TraceState, TraceActions] {
  const windowMs = windowOf(useQuery('window'))
  const [stopped, setStopped] = useState<Stopped | null>(null)
  const [pointed, setPointed] = useState<Pointed>(null)
  const [cursors, setCursors] = useState<Cursors>(NO_CURSORS)

  const stop = useCallback((): Stopped => {
    const ring = ringOf(zone.id)
    const nowMs = latest.current?.span.toMs ?? Date.now()
    const oldestMs = ring === null || ring.length === 0 ? nowMs : ring.timeAt(0)
    return {
      view: views.pause({ mode: 'live', windowMs }, nowMs, oldestMs),
      frozen: ring === null ? null : new FrozenRows(ring, zone.columns.length),
      expected: expectedOf(zone.id)?.frozen() ?? [],
    }
  }, [zone, windowMs, latest])

  const actions = useMemo((): TraceActions => {
    const change = (step: (view: views.PausedView) => views.PausedView) =>
      setStopped((before) => {
        const from = before ?? stop()
        return { ...from, view: step(from.view) }
      })
    const chooseWindow = (ms: number) => {
      setQuery('window', String(ms / 1000), 'replace')
      setStopped((before) => {
        if (before === null) return null
        const view = views.chooseWindow(before.view, ms)
        return view.mode === 'paused' ? { ...before, view } : null
      })
    }
    return {
      chooseWindow,
      pause: () => change((view) => view),
      resume: () => setStopped(null),
      togglePause: () => setStopped((before) => (before === null ? stop() : null)),
      scrubTo: (toMs) => change((view) => views.scrubTo(view, toMs)),
      zoomTo: (aMs, bMs) => change((view) => views.zoomTo(view, aMs, bMs)),
      zoom: (factor, aroundMs) => {
        if (stopped === null) chooseWindow(views.neighbourWindow(windowMs, factor < 1 ? -1 : 1))
        else change((view) => views.zoomBy(view, factor, aroundMs ?? (view.fromMs + view.toMs) / 2))
      },
      resetZoom: () => change(views.resetZoom),
      point: setPointed,
      place: (tMs) => setCursors((before) => placeCursor(before, tMs)),
      setCursor: (which, tMs) => setCursors((before) => ({ ...before, [which]: tMs })),
      clearCursors: () => setCursors(NO_CURSORS),
      goTo: (flag) => {
        change((view) => {
          const isSeen = flag.fromMs >= view.fromMs && flag.toMs <= view.toMs
          return isSeen ? view : views.scrubTo(view, flag.toMs + (view.toMs - view.fromMs) / 2)
        })
        setPointed({ tMs: (flag.fromMs + flag.toMs) / 2 })
      },
    }
  }, [stop, stopped, windowMs])

  const state = useMemo((): TraceState => {
    const view: views.View = stopped?.view ?? { mode: 'live', windowMs }
    return { view, frozen: stopped?.frozen ?? null, frozenExpected: stopped?.expected ?? null, pointed, cursors }
  }, [stopped, windowMs, pointed, cursors])
  return [state, actions]
}

/** The time of the moving cursor on a span; null when there is none or it lies outside. */
export function pointedMs(pointed: Pointed, span: { fromMs: number; toMs: number }): number | null {
  if (pointed === null) return null
  const tMs = 'tMs' in pointed ? pointed.tMs : span.fromMs + pointed.share * (span.toMs - span.fromMs)
  return tMs < span.fromMs || tMs > span.toMs ? null : tMs
}

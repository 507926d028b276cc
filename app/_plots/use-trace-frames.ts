import { type RefObject, useEffect, useRef } from 'react'
import type { ExpectedPoint } from '../../shared/protocol/expected.ts'
import { expectedOf, onSamples, ringOf, stream } from '../_stream/store.ts'
import type { RowSource } from './decimate.ts'
import type { DrawnColumn } from './drawn-columns.ts'
import type { FrozenRows } from './frozen-rows.ts'
import type { GapRule } from './gap-rule.ts'
import { readPlotTheme } from './plot-theme.ts'
import { type Span, TraceDrawer } from './trace-drawer.ts'
import { spanOf, type View } from './view.ts'

const NOTHING_EXPECTED: readonly ExpectedPoint[] = []

export interface PlotSpec {
  readonly columns: readonly DrawnColumn[]
  readonly quantity: string
  readonly fromZero: boolean
}

/** What the next frame is to show. Handed over by reference: drawing does not wait for React. */
export interface Scene {
  readonly zoneId: string
  readonly view: View
  /** Rows of a paused picture; null while live. */
  readonly frozen: FrozenRows | null
  /** What had been expected when the picture was paused; null while live. */
  readonly frozenExpected: readonly ExpectedPoint[] | null
  readonly gaps: GapRule
}

/** One drawn frame, for what stands beside the canvas: cursors, readings, the words above. */
export interface Frame {
  readonly span: Span
  readonly nowMs: number
  readonly source: RowSource | null
  /** CSS pixels of the traces within the host. */
  readonly area: { readonly left: number; readonly top: number; readonly width: number; readonly height: number }
}

/**
 * Draws both plots, at most once a frame and only when something changed; not while the page is
 * hidden. `onFrame` is called after every drawn frame.
 */
export function useTraceFrames(
  mainHost: RefObject<HTMLDivElement | null>,
  auxHost: RefObject<HTMLDivElement | null>,
  main: PlotSpec,
  aux: PlotSpec | null,
  scene: Scene,
  theme: string,
  onFrame: (frame: Frame) => void,
): void {
  const sceneRef = useRef(scene)
  const onFrameRef = useRef(onFrame)
  const request = useRef<() => void>(() => {})
  useEffect(() => {
    sceneRef.current = scene
    onFrameRef.current = onFrame
    request.current()
  })

  // biome-ignore lint/correctness/useExhaustiveDependencies: a theme change must read the colours anew
  useEffect(() => {
    const mainElement = mainHost.current
    if (mainElement === null) return
    const colours = readPlotTheme(mainElement)
    const hosts = [mainElement]
    const drawers = [new TraceDrawer(mainElement, main.columns, main.quantity, colours, true)]
    const specs = [main]
    if (auxHost.current !== null && aux !== null) {
      hosts.push(auxHost.current)
      drawers.push(new TraceDrawer(auxHost.current, aux.columns, aux.quantity, colours, false))
      specs.push(aux)
    }
    const [upper] = drawers

    let frameId = 0
    let isRunning = true
    const draw = () => {
      frameId = 0
      if (!isRunning || document.hidden || upper === undefined) return
      const { zoneId, view, frozen, frozenExpected, gaps } = sceneRef.current
      const ring = ringOf(zoneId)
      const source = frozen ?? ring
      const nowMs = stream().gatewayNow() ?? Date.now()
      const span = spanOf(view, nowMs, upper.plot.area.width)
      const version = frozen === null ? (ring?.version ?? 0) : 0
      const expected = frozenExpected ?? expectedOf(zoneId)?.points ?? NOTHING_EXPECTED
      const drawn = drawers.map((drawer, i) =>
        drawer.draw({ source, version, span, fromZero: specs[i]?.fromZero ?? false, theme: colours, gaps, expected }),
      )
      if (drawn.includes(true)) onFrameRef.current({ span, nowMs, source, area: upper.plot.area })
      if (view.mode === 'live') ask()
    }
    const ask = () => {
      if (frameId === 0) frameId = requestAnimationFrame(draw)
    }
    request.current = ask

    const resize = new ResizeObserver(() => {
      for (const [i, drawer] of drawers.entries()) {
        const host = hosts[i]
        if (host !== undefined && host.clientWidth > 0) drawer.resize(host.clientWidth, host.clientHeight)
      }
      ask()
    })
    for (const host of hosts) resize.observe(host)
    const stopSamples = onSamples(ask)
    document.addEventListener('visibilitychange', ask)
    ask()
    return () => {
      isRunning = false
      cancelAnimationFrame(frameId)
      resize.disconnect()
      stopSamples()
      document.removeEventListener('visibilitychange', ask)
      request.current = () => {}
      for (const drawer of drawers) drawer.destroy()
    }
  }, [main, aux, theme, mainHost, auxHost])
}

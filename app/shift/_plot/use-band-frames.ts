import { type RefObject, useEffect, useRef } from 'react'
import { readPlotTheme } from '../../_plots/plot-theme.ts'
import type { Band } from '../_model/bands.ts'
import { BandStack, type Scene, type StackFrame } from './band-stack.ts'

/**
 * Draws the bands, at most once a frame and only when something changed; not while the page is hidden.
 * `onFrame` is called after every drawn frame, `onWidth` when the pixels across which time is drawn change.
 */
export function useBandFrames(
  stage: RefObject<HTMLElement | null>,
  bands: readonly Band[],
  scene: Scene,
  theme: string,
  onFrame: (frame: StackFrame) => void,
  onWidth: (px: number) => void,
): void {
  const sceneRef = useRef(scene)
  const onFrameRef = useRef(onFrame)
  const onWidthRef = useRef(onWidth)
  const request = useRef<() => void>(() => {})
  useEffect(() => {
    onFrameRef.current = onFrame
    onWidthRef.current = onWidth
    if (sceneRef.current === scene) return
    sceneRef.current = scene
    request.current()
  })

  // biome-ignore lint/correctness/useExhaustiveDependencies: a theme change must read the colours anew
  useEffect(() => {
    const element = stage.current
    if (element === null) return
    const hosts = [...element.querySelectorAll<HTMLElement>('[data-band]')]
    const stack = new BandStack(hosts, bands, readPlotTheme(element))
    let frameId = 0
    const draw = () => {
      frameId = 0
      if (document.hidden) return
      const frame = stack.draw(sceneRef.current)
      if (frame !== null) onFrameRef.current(frame)
    }
    const ask = () => {
      if (frameId === 0) frameId = requestAnimationFrame(draw)
    }
    request.current = ask
    const resize = new ResizeObserver(() => {
      stack.resize()
      onWidthRef.current(Math.round(stack.width))
      ask()
    })
    for (const host of hosts) resize.observe(host)
    document.addEventListener('visibilitychange', ask)
    onWidthRef.current(Math.round(stack.width))
    ask()
    return () => {
      cancelAnimationFrame(frameId)
      resize.disconnect()
      document.removeEventListener('visibilitychange', ask)
      request.current = () => {}
      stack.destroy()
    }
  }, [stage, bands, theme])
}

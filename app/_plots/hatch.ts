const NO_CANVAS = 'this browser cannot draw on a canvas'

/** Slanted lines to fill a gap with; `falls` slants them the other way, so that two patterns cross. */
export function hatchPattern(target: CanvasRenderingContext2D, colour: string, falls: boolean): CanvasPattern {
  const size = Math.round(10 * devicePixelRatio)
  const tile = document.createElement('canvas')
  tile.width = size
  tile.height = size
  const ctx = tile.getContext('2d')
  if (ctx === null) throw new Error(NO_CANVAS)
  ctx.strokeStyle = colour
  ctx.globalAlpha = 0.45
  ctx.lineWidth = 1.25 * devicePixelRatio
  for (const shift of [-size, 0, size]) {
    ctx.beginPath()
    ctx.moveTo(shift, falls ? 0 : size)
    ctx.lineTo(shift + size, falls ? size : 0)
    ctx.stroke()
  }
  const pattern = target.createPattern(tile, 'repeat')
  if (pattern === null) throw new Error(NO_CANVAS)
  return pattern
}

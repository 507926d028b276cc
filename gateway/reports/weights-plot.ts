import { fitPolynomial } from '../../lib/calibration/polynomial-fit.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { UnitChoice } from '../../shared/unit-choice.ts'
import { type Html, html } from './html.ts'
import { forceAxis, plotFrame } from './plot.ts'
import { SIDE_WORDS } from './words.ts'

const SIZE = { width: 320, height: 170 }

interface Point {
  readonly side: string
  readonly mass: number
  readonly isDown: boolean
  readonly force: number
}

/**
 * Known weights in two pictures: force of each side over the mass, and what is left after that side's own straight
 * line, where bend, hysteresis and return to zero show. Triangles point the way the weight was reached. null with
 * fewer than three readings or two masses.
 */
export function weightsPlot(captures: readonly Capture[], units: UnitChoice): Html | null {
  const points = captures.flatMap(pointsOf)
  const masses = points.map(({ mass }) => mass)
  if (points.length < 3 || new Set(masses).size < 2) return null
  const left = leftOver(points)
  return html`<div class="captures" data-small="no" data-pair="yes">${picture(points, 'Force of each side over the mass on the rope', units)}${
    left.length < 3 ? null : picture(left, 'What is left after the straight line of each side', units)
  }</div>`
}

function pointsOf({ values, sides }: Capture): Point[] {
  const { mass, direction } = values
  if (typeof mass !== 'number') return []
  return Object.entries(sides).flatMap(([side, { force }]) =>
    force === null ? [] : [{ side, mass, isDown: direction === 'down', force: force.value }],
  )
}

/** Least squares of each side by itself; nothing of a side that has no line. */
function leftOver(points: readonly Point[]): Point[] {
  return [...new Set(points.map(({ side }) => side))].flatMap((side) => {
    const of = points.filter((point) => point.side === side)
    const pairs = of.map(({ mass, force }) => ({ x: mass, y: force }))
    const residuals = fitPolynomial(pairs, { degree: 1, intercept: true })?.residuals ?? []
    return of.flatMap((point, i) => {
      const force = residuals[i]
      return force === undefined ? [] : [{ ...point, force }]
    })
  })
}

function picture(points: readonly Point[], title: string, units: UnitChoice): Html {
  const most = Math.max(...points.map(({ mass }) => mass))
  const forces = points.map(({ force }) => force)
  const { unit, value, stretch } = forceAxis(forces, units)
  const { at, axes } = plotFrame({ ...SIZE, x: [0, most * 1.05], y: stretch, xUnit: 'kg', yUnit: unit })
  const sides = [...new Set(points.map(({ side }) => side))].map((side) => SIDE_WORDS[side] ?? side)
  const label = `${title}, ${sides.join(' and ')}: ${points.length} readings from ${Math.min(...forces).toFixed(2)} to ${Math.max(...forces).toFixed(2)} N, up to ${most} kg`
  return html`<figure><svg class="plot" viewBox="0 0 ${SIZE.width} ${SIZE.height}" role="img" aria-label="${label}">${axes}${points.map(
    ({ side, mass, force, isDown }) =>
      html`<path d="M${at.x(mass).toFixed(1)} ${at.y(value(force)).toFixed(1)}${isDown ? 'm-4-3h8l-4 7z' : 'm-4 3h8l-4-7z'}" class="point" data-side="${side}"/>`,
  )}</svg><figcaption><b>${title}.</b> Triangles point the way the weight was reached; ${sides.length > 1 ? 'drive side filled, operator side hollow' : 'each is a reading'}.</figcaption></figure>`
}

import { z } from 'zod'
import { type CoreToFull, coreToFull } from '../../../lib/geometry/core-to-full.ts'
import type { OperatingState, ZoneGeometry } from '../../../lib/geometry/description.ts'
import { type Expected, expectedOf } from '../../../lib/geometry/expected.ts'
import {
  propagateExpected,
  type UncertainFigures,
  type UncertaintyRequest,
} from '../../../lib/geometry/expected-uncertainty.ts'
import { type ConfiguredGeometry, geometryFromConfig, givenAt, usualState } from '../../../lib/geometry/from-config.ts'
import { ImpossiblePath } from '../../../lib/geometry/path-fault.ts'
import { type Sensitivity, sensitivitiesOf } from '../../../lib/geometry/sensitivities.ts'
import { entriesOf } from '../../../lib/geometry/sided.ts'
import type { Uncertainties } from '../../../lib/geometry/uncertain-inputs.ts'
import type { Propagated } from '../../../lib/uncertainty/propagate.ts'
import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'
import type { GeometryConfig } from '../../../shared/schemas/geometry.ts'
import type { Side } from './edits.ts'
import { type DrawnPath, drawnPath } from './path.ts'
import type { Drawing } from './rollers.ts'
import { type SignalSource, signalSourceOf } from './signal.ts'
import { zoneConfigOf } from './zone-config.ts'

export const LEVELS = ['low', 'normal', 'high'] as const
export type LevelName = (typeof LEVELS)[number]

/** What is expected at one of the three tensions. */
export interface Level {
  readonly name: LevelName
  readonly state: OperatingState
  readonly expected: Expected
  readonly uncertain: UncertainFigures<Propagated>
  /** What `uncertain` was computed from: the Monte Carlo takes the same. */
  readonly request: UncertaintyRequest
}

/** Everything that follows from a drawing that can be. */
export interface Figures {
  readonly config: GeometryConfig
  readonly configured: ConfiguredGeometry
  readonly levels: Readonly<Record<LevelName, Level>>
  readonly sensitivities: readonly Sensitivity[]
  readonly spread: CoreToFull | null
  /** Why the spread cannot be told though a neighbour moves; null when it can. */
  readonly spreadFault: string | null
  readonly signals: Readonly<Partial<Record<Side, SignalSource | null>>>
}

export interface Computed {
  /** What can be drawn, whatever else is wrong; null when the rollers themselves are not understood. */
  readonly path: DrawnPath | null
  readonly figures: Figures | null
  /** Why there are no figures, each a sentence; empty when there are. */
  readonly problems: readonly string[]
}

/**
 * Figures of a drawing for a web at `speed` (m/s). A drawing that cannot be gives its problems instead: nothing is
 * ever computed from an earlier one.
 */
export function compute(drawing: Drawing, facts: ZoneFacts, speed: number): Computed {
  try {
    const { zone, channels } = zoneConfigOf(facts, drawing)
    const configured = geometryFromConfig(zone, channels)
    if (configured === undefined || zone.geometry === undefined) return { path: null, figures: null, problems: [] }
    const state = { ...usualState(zone, configured), speed }
    const path = drawnPath(configured.geometry, state.neighbour)
    if (path.faults.length > 0) return { path, figures: null, problems: path.faults }
    return withFigures(path, zone.geometry, configured, state, facts)
  } catch (error) {
    return { path: null, figures: null, problems: problemsOf(error) }
  }
}

function withFigures(
  path: DrawnPath,
  config: GeometryConfig,
  configured: ConfiguredGeometry,
  state: OperatingState,
  facts: ZoneFacts,
): Computed {
  try {
    return { path, figures: figuresOf(config, configured, state, facts), problems: [] }
  } catch (error) {
    return { path, figures: null, problems: problemsOf(error) }
  }
}

function figuresOf(
  config: GeometryConfig,
  configured: ConfiguredGeometry,
  state: OperatingState,
  facts: ZoneFacts,
): Figures {
  const { geometry } = configured
  const { low_n: low, normal_n: normal, high_n: high } = config.tension
  const level = (name: LevelName, tension: number): Level => levelAt(name, { ...state, tension }, configured, facts)
  const sides = Object.keys(facts.cells) as Side[]
  return {
    config,
    configured,
    levels: { low: level('low', low), normal: level('normal', normal), high: level('high', high) },
    sensitivities: sensitivitiesOf(geometry, { ...state, tension: normal }),
    ...spreadOf(configured),
    signals: Object.fromEntries(sides.map((side) => [side, signalSourceOf(configured, facts, side)])),
  }
}

function levelAt(name: LevelName, state: OperatingState, configured: ConfiguredGeometry, facts: ZoneFacts): Level {
  const { geometry } = configured
  const result = expectedOf(geometry, state)
  if (!result.possible) throw new ImpossiblePath(result.fault)
  const given = { ...givenAt(configured, state.tension), ...givenOfCells(geometry, facts) }
  const request = { geometry, state, given, correlations: [] }
  return { name, state, expected: result.expected, uncertain: propagateExpected(request), request }
}

/** How well each cell's gain is known: what the channel says, not the drawing. */
function givenOfCells({ cells }: ZoneGeometry, facts: ZoneFacts): Uncertainties {
  const given = entriesOf(cells).map(([side]) => {
    const u = (facts.cells[side]?.uGainPercent ?? 0) / 100
    return [`sensitivity.${side}`, { u, source: 'u_gain_percent of the channel' }] as const
  })
  return Object.fromEntries(given)
}

function spreadOf({ geometry }: ConfiguredGeometry): Pick<Figures, 'spread' | 'spreadFault'> {
  try {
    return { spread: coreToFull(geometry) ?? null, spreadFault: null }
  } catch (error) {
    return { spread: null, spreadFault: problemsOf(error)[0] ?? null }
  }
}

function problemsOf(error: unknown): string[] {
  if (error instanceof z.ZodError)
    return error.issues.map(({ path, message }) => `${path.filter((key) => key !== 'geometry').join(': ')}: ${message}`)
  if (error instanceof ImpossiblePath || error instanceof RangeError) return [error.message]
  throw error
}

import type { Side } from '../../../shared/sample.ts'
import type { CalibrationResult } from '../../../shared/schemas/compute-calibration.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import type { Answer } from '../../_ui/ask.ts'
import { type FoundLine, offCentreFor, type Prepared, requestFor } from './request.ts'
import type { Session, TypedFields } from './session.ts'
import { useFit } from './use-fit.ts'
import { useSession } from './use-session.ts'

/** What is asked of the gateway, and its answer. */
export interface Computation {
  readonly prepared: Prepared
  readonly answer: Answer<CalibrationResult> | null
}

export interface SideFit extends Computation {
  readonly side: Side
}

export interface CalibrationInHand {
  readonly session: Session
  readonly change: (make: (before: Session) => Session) => void
  readonly type: (part: Partial<TypedFields>) => void
  /** Sides that are calibrated. */
  readonly sides: readonly Side[]
  readonly fits: readonly SideFit[]
  readonly offCentre: Computation
}

/** The calibration that this browser keeps of a zone, and what the gateway makes of it; `all` are the zone's sides. */
export function useCalibration(view: GeometryView, all: readonly Side[]): CalibrationInHand {
  const [session, change] = useSession(view.zone.id)
  const sides = all.filter((side) => session.sides === 'both' || session.sides === side)
  const fits = useFits(session, sides, view)
  const lines = Object.fromEntries(
    fits.flatMap(({ side, answer }): [Side, FoundLine][] => {
      const line = answer?.ok ? answer.value.line : null
      return line === null ? [] : [[side, line]]
    }),
  )
  const prepared = offCentreFor(session, view, fits[0]?.prepared, lines)
  const offCentre = { prepared, answer: useFit(prepared) }
  const type = (part: Partial<TypedFields>) => change((now) => ({ ...now, typed: { ...now.typed, ...part } }))
  return { session, change, type, sides, fits, offCentre }
}

/** At most two sides; a hook for each, asked or not. */
function useFits(session: Session, sides: readonly Side[], view: GeometryView): SideFit[] {
  const prepared = sides.map((side) => requestFor(session, side, view))
  const answers = [useFit(prepared[0] ?? null), useFit(prepared[1] ?? null)]
  return sides.flatMap((side, i) => {
    const one = prepared[i]
    return one === undefined ? [] : [{ side, prepared: one, answer: answers[i] ?? null }]
  })
}

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Needs } from '../../../simulator/technician/act.ts'
import { refusalIn } from '../../../simulator/technician/condition.ts'
import { NotPossible } from '../../../simulator/technician/not-possible.ts'
import { ACTS, type ActId } from '../../../simulator/technician/registry.ts'
import { placeOf, trialOf } from '../../../simulator/training/place.ts'
import { trainingLine } from '../../../simulator/training/training-lines.ts'
import { leadsTo, WAY_ACTS, wayTo } from '../../../simulator/training/way.ts'

const LINE = trainingLine('install')?.scenario as NonNullable<ReturnType<typeof trainingLine>>['scenario']
const ZONE = 'laminator-outfeed'
const place = placeOf(LINE, ZONE)

const acts = fc.array(fc.constantFrom<ActId>(...WAY_ACTS, 'push-end', 'hang-weight', 'wiggle-cable'), { maxLength: 12 })
const ARGS: Readonly<Record<string, Record<string, unknown>>> = {
  start: { speed_m_min: 60 },
  'push-end': { side: 'drive_side' },
  'hang-weight': { kg: 5 },
  'wiggle-cable': { side: 'operator_side' },
}

/** A technician after these acts, those that are refused left out; time does not matter to the state. */
function having(done: readonly ActId[]) {
  const { technician } = trialOf(LINE, [], 1)
  for (const act of done) {
    try {
      technician.do(act, ARGS[act] ?? {})
    } catch (error) {
      if (!(error instanceof NotPossible)) throw error
    }
  }
  return technician
}

describe('the way from one state of the machine to another', () => {
  it('takes each act to where the act itself leads, from every state that can be reached', { timeout: 60_000 }, () => {
    fc.assert(
      fc.property(acts, fc.constantFrom(...WAY_ACTS), (done, act) => {
        const technician = having(done)
        const before = technician.condition(ZONE)
        const led = leadsTo(act, before)
        fc.pre(led !== null)
        technician.do(act, ARGS[act] ?? {})
        expect(technician.condition(ZONE)).toEqual(led)
      }),
      { numRuns: 30 },
    )
  })

  it('is refused nowhere, and ends where the needs are met', { timeout: 60_000 }, () => {
    const needs = fc.constantFrom<Needs>(
      { power: ['running'], free: true },
      { power: ['locked out'], web: ['off'], roller: 'on the cells', free: true },
      { power: ['locked out'], guards: 'open', roller: 'lifted off' },
      { power: ['stopped'], driveEnabled: true, web: ['off'], free: true },
      ACTS['measure-arrow'].needs,
      ACTS['measure-bridge'].needs,
    )
    fc.assert(
      fc.property(acts, needs, (done, wanted) => {
        const technician = having(done)
        const way = wayTo(technician.condition(ZONE), wanted, place.speed)
        for (const { act, args } of way?.steps ?? []) expect(technician.do(act, args).refused).toBeUndefined()
        expect(way).not.toBeNull()
        expect(refusalIn(technician.condition(ZONE), wanted)).toBeNull()
      }),
      { numRuns: 20 },
    )
  })

  it('is the cheapest: to measure an arrow at a running line, stop and lock out, nothing else', () => {
    const { technician } = trialOf(trainingLine('wide-film')?.scenario ?? LINE, [], 1)
    const way = wayTo(technician.condition(), ACTS['measure-arrow'].needs, 100)
    expect(way?.steps.map(({ act }) => act)).toEqual(['stop', 'lock-out'])
    // 10 s and the ramp from 100 m/min at 0.25 m/s², then 180 s.
    expect(way?.seconds).toBeCloseTo(10 + 100 / 60 / 0.25 + 180, 9)
  })

  it('takes no step where the needs are met already, and says so where no way leads', () => {
    const now = having(['lock-out']).condition(ZONE)
    expect(wayTo(now, { power: ['locked out'] }, 100)?.steps).toEqual([])
    expect(wayTo(now, { power: ['running'], guards: 'open' }, 100)).toBeNull()
  })
})

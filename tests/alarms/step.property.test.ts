import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { applyEvent } from '../../lib/alarms/apply-event.ts'
import type { AlarmEvent } from '../../lib/alarms/event.ts'
import type { AlarmRule } from '../../lib/alarms/rule.ts'
import { type AlarmState, firstMemory, memoryOf, takeUp } from '../../lib/alarms/state.ts'
import { type AlarmInput, step } from '../../lib/alarms/step.ts'

const rules: fc.Arbitrary<AlarmRule> = fc.record({
  onDelayMs: fc.nat(20_000),
  offDelayMs: fc.nat(20_000),
  unknownAfterMs: fc.integer({ min: 1000, max: 60_000 }),
  deadband: fc.double({ min: 0, max: 0.5, noNaN: true }),
  latched: fc.boolean(),
  longestShelvingMs: fc.integer({ min: 1, max: 100_000 }),
})
const who = fc.constantFrom('A. Fitter', 'B. Keeper')
const reason = fc.constant('being worked on')
const seen: fc.Arbitrary<AlarmInput> = fc.record({
  kind: fc.constant('seen' as const),
  condition: fc.constantFrom('outside', 'outside', 'inside', 'inside', 'between', 'unknown'),
})
const done: fc.Arbitrary<AlarmInput> = fc.oneof(
  fc.record({ kind: fc.constantFrom('acknowledge', 'unshelve', 'put-back'), who }),
  fc.record({ kind: fc.constant('take-out' as const), who, reason }),
  fc.record({ kind: fc.constant('shelve' as const), who, reason, forMs: fc.integer({ min: -5, max: 200_000 }) }),
)
const inputs = fc.oneof({ weight: 6, arbitrary: seen }, { weight: 2, arbitrary: done })
const lives = fc.array(fc.record({ afterMs: fc.nat(15_000), input: inputs }), { maxLength: 60 })
type Life = readonly { readonly afterMs: number; readonly input: AlarmInput }[]

interface Lived {
  readonly state: AlarmState
  readonly events: readonly AlarmEvent[]
  readonly endMs: number
}

/** Lives a life; between its inputs somebody looks every `lookMs`, or nobody does. */
function live(
  rule: AlarmRule,
  life: Life,
  lookMs = Number.POSITIVE_INFINITY,
  each?: (state: AlarmState) => void,
): Lived {
  let state = takeUp(firstMemory(0), 0)
  let now = 0
  const events: AlarmEvent[] = []
  const take = (input: AlarmInput) => {
    const stepped = step(rule, state, input, now)
    state = stepped.state
    events.push(...stepped.events)
    each?.(state)
  }
  for (const { afterMs, input } of [...life, { afterMs: 0, input: { kind: 'time' } as const }]) {
    const thenMs = now + afterMs
    while (now + lookMs < thenMs) {
      now += lookMs
      take({ kind: 'time' })
    }
    now = thenMs
    take(input)
  }
  return { state, events, endMs: now }
}

describe('whatever happens to an alarm', () => {
  it('its events alone give back all that it remembers: no transition is lost', () => {
    fc.assert(
      fc.property(rules, lives, (rule, life) => {
        const { state, events } = live(rule, life)
        expect(events.reduce(applyEvent, firstMemory(0))).toEqual(memoryOf(state))
      }),
    )
  })

  it('how often somebody looks changes neither an event nor its time', () => {
    fc.assert(
      fc.property(rules, lives, fc.integer({ min: 100, max: 5000 }), (rule, life, lookMs) => {
        const seldom = live(rule, life)
        const often = live(rule, life, lookMs)
        expect(often.events).toEqual(seldom.events)
        expect(often.state).toEqual(seldom.state)
      }),
    )
  })

  it('the same input at the same time twice is as once, but for a shelving that is written anew', () => {
    fc.assert(
      fc.property(rules, lives, inputs, (rule, life, input) => {
        const { state, endMs } = live(rule, life)
        const once = step(rule, state, input, endMs)
        const twice = step(rule, once.state, input, endMs)
        expect(twice.state).toEqual(once.state)
        expect(twice.events.map(({ kind }) => kind)).toEqual(
          input.kind === 'shelve' && once.state.shelved !== null && input.forMs > 0 ? ['shelved'] : [],
        )
      }),
    )
  })

  it('shelving always ends, at the latest after the longest allowed', () => {
    fc.assert(
      fc.property(rules, lives, (rule, life) => {
        const { state, endMs } = live(rule, life)
        const later = step(rule, state, { kind: 'time' }, endMs + rule.longestShelvingMs)
        expect(later.state.shelved).toBeNull()
      }),
    )
  })

  it('it is never normal but by something seen, or by an acknowledgement of what had been seen to return', () => {
    fc.assert(
      fc.property(rules, lives, (rule, life) => {
        let before = takeUp(firstMemory(0), 0)
        live(rule, life, 500, (state) => {
          if (state.standing === 'normal' && before.standing !== 'normal')
            expect(state.clockMs === state.knownMs || before.known === 'returned').toBe(true)
          before = state
        })
      }),
    )
  })

  it('silence makes it unknown, unless it is out of service', () => {
    fc.assert(
      fc.property(rules, lives, (rule, life) => {
        const { state, endMs } = live(rule, life)
        const later = step(rule, state, { kind: 'time' }, endMs + rule.unknownAfterMs)
        expect(later.state.standing).toBe('unknown')
        expect(later.state.occurrence).toEqual(state.occurrence)
      }),
    )
  })

  it('what is seen outside for the on-delay is active, and somebody is asked unless it was put aside', () => {
    fc.assert(
      fc.property(rules, lives, fc.integer({ min: 100, max: 900 }), (rule, life, everyMs) => {
        const { state, endMs } = live(rule, life)
        let now = endMs
        let later = state
        const events: AlarmEvent[] = []
        for (; now <= endMs + rule.onDelayMs + everyMs; now += everyMs) {
          const stepped = step(rule, later, { kind: 'seen', condition: 'outside' }, now)
          later = stepped.state
          events.push(...stepped.events)
        }
        if (state.outOfService !== null) expect(later.standing).toBe('unknown')
        else expect(later.standing).toBe('active')
        const announced = events.some((event) => 'announced' in event && event.announced)
        if (later.standing === 'active' && !announced && state.known !== 'active') expect(later.shelved).not.toBeNull()
      }),
    )
  })

  it('what is only ever undecided is never announced', () => {
    fc.assert(
      fc.property(rules, fc.array(fc.nat(10_000), { maxLength: 50 }), (rule, gaps) => {
        const input = { kind: 'seen', condition: 'between' } as const
        const { events } = live(
          rule,
          gaps.map((afterMs) => ({ afterMs, input })),
        )
        expect(events.filter(({ kind }) => kind === 'activated')).toEqual([])
      }),
    )
  })
})

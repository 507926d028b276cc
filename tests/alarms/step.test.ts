import { describe, expect, it } from 'vitest'
import type { AlarmRule } from '../../lib/alarms/rule.ts'
import { asksForNotice, firstMemory, memoryOf, takeUp } from '../../lib/alarms/state.ts'
import { step } from '../../lib/alarms/step.ts'
import { becomes, run } from './script.ts'

// States and delays as IEC 62682 and ANSI/ISA-18.2 describe them in general terms (M: from memory, no document seen).
const RULE: AlarmRule = {
  onDelayMs: 5_000,
  offDelayMs: 10_000,
  unknownAfterMs: 20_000,
  deadband: 0.1,
  latched: false,
  longestShelvingMs: 3_600_000,
}
const LATCHED = { ...RULE, latched: true }

function expectLife(script: string, expected: string, rule = RULE): void {
  const { shown, expected: wanted } = becomes(script, rule, expected)
  expect(shown).toBe(wanted)
}

describe('an alarm by its time series', () => {
  it('is unknown before the first look, and normal only when something was seen inside', () =>
    expectLife('0 look 3 inside 4 look', '0 unknown 3 normal 4 normal'))

  it('announces what stays outside for the on-delay', () =>
    expectLife('0 inside 10 outside… 15 outside', '10 normal 14 normal 15 unacknowledged'))

  it('does not announce what was inside in between, and counts the delay anew', () =>
    expectLife('0 outside… 4 inside 5 outside… 10 outside', '4 normal 9 normal 10 unacknowledged'))

  it('does not announce what was undecided in between', () =>
    expectLife('0 outside… 4 between 5 outside… 10 outside', '4 normal 9 normal 10 unacknowledged'))

  it('never announces what is undecided for ever', () => expectLife('0 inside 1 between… 500 between', '500 normal'))

  it('announces at once without an on-delay', () =>
    expectLife('0 inside 1 outside', '1 unacknowledged', { ...RULE, onDelayMs: 0 }))

  it('goes back to normal when acknowledged before it returns, after the off-delay', () =>
    expectLife('0 outside… 6 ack 7 inside… 17 inside', '5 unacknowledged 6 acknowledged 16 acknowledged 17 normal'))

  it('stays returned until acknowledged when it returns first', () =>
    expectLife('0 outside… 6 inside… 16 inside… 100 inside 101 ack', '16 returned 100 returned 101 normal'))

  it('does not return while undecided or in the deadband, and counts the off-delay anew after it', () =>
    expectLife(
      '0 outside… 6 ack 7 inside… 16 between… 60 inside… 69 inside 70 inside',
      '16 acknowledged 59 acknowledged 69 acknowledged 70 normal',
    ))

  it('is announced again when it goes outside after it has returned, still not acknowledged', () => {
    expectLife('0 outside… 6 inside… 20 outside… 25 outside', '16 returned 24 returned 25 unacknowledged')
    expect(run('0 outside… 6 inside… 20 outside… 25 outside', RULE).trail).toBe(
      '0 resumed, 5 activated, 16 returned, 25 activated',
    )
  })

  it('latched: an acknowledgement while outside does not end it, one after the return does', () =>
    expectLife(
      '0 outside… 6 ack 7 inside… 60 inside 61 ack',
      '6 acknowledged 17 returned 60 returned 61 normal',
      LATCHED,
    ))

  it('latched and returned asks for notice; acknowledged and outside does not', () => {
    const { at } = run('0 outside… 6 ack 7 inside… 20 inside', LATCHED)
    expect([6, 20].map((s) => asksForNotice(at(s)))).toEqual([false, true])
  })

  it('keeps who acknowledged for as long as it lasts', () => {
    const { at } = run('0 outside… 6 ack 7 inside… 17 inside', RULE)
    expect(at(6).acknowledgedBy).toEqual({ who: 'A. Fitter', atMs: 6000 })
    expect(at(17).acknowledgedBy).toBeNull()
  })
})

describe('when data stop', () => {
  it('never becomes normal by silence: active becomes unknown and is active again when data say so', () =>
    expectLife(
      '0 outside… 6 look 25 look 500 look 501 outside',
      '6 unacknowledged 25 unknown 500 unknown 501 unacknowledged',
    ))

  it('takes "unknown" that is said for the same as silence', () => {
    const silent = run('0 outside… 6 look 60 look', RULE)
    const said = run('0 outside… 6 unknown… 60 unknown', RULE)
    expect(said.trail).toBe(silent.trail)
    expect(said.trail).toBe('0 resumed, 5 activated, 25 lost')
  })

  it('is dated by its limit, however late somebody looks', () =>
    expect(run('0 inside 5000 look', RULE).trail).toBe('0 resumed, 20 lost'))

  it('a normal alarm is unknown, and asks nobody', () => {
    const { at } = run('0 inside 30 look', RULE)
    expect([at(30).standing, asksForNotice(at(30))]).toEqual(['unknown', false])
  })

  it('what was not acknowledged still asks, and may be acknowledged', () => {
    const { at } = run('0 outside… 6 look 40 look 41 ack 42 outside', RULE)
    expect([40, 41, 42].map((s) => asksForNotice(at(s)))).toEqual([true, false, false])
    expect(at(42)).toMatchObject({ standing: 'active', acknowledged: true })
  })

  it('what had returned ends by acknowledgement, and is unknown still', () => {
    const { at } = run('0 outside… 6 inside… 20 look 60 look 61 ack 62 inside', RULE)
    expect([at(60).known, at(61).standing, at(61).known, at(62).standing]).toEqual([
      'returned',
      'unknown',
      'normal',
      'normal',
    ])
  })

  it('back inside, it needs the off-delay and the acknowledgement like any other', () =>
    expectLife(
      '0 outside… 6 look 40 look 41 inside… 51 inside',
      '40 unknown 41 unacknowledged 50 unacknowledged 51 returned',
    ))

  it('a hole shorter than its limit hides no alarm that is outside on both ends', () =>
    expectLife('0 outside 3 unknown 5 outside', '3 normal 5 unacknowledged'))

  it('a longer one begins the delay anew', () =>
    expectLife('0 outside 25 unknown 26 outside… 30 outside 31 outside', '25 unknown 30 normal 31 unacknowledged'))
})

describe('put aside', () => {
  it('shelved goes on silently, and asks anew when the time is up and it is still active', () => {
    const life = run('0 inside… 5 shelve:60 6 outside… 100 outside', RULE)
    expect(life.trail).toBe('0 resumed, 5 shelved, 11 activated, 65 unshelved')
    expect(life.events.map((event) => 'announced' in event && event.announced)).toEqual([false, false, false, true])
    expectLife('0 inside… 5 shelve:60 6 outside… 100 outside', '5 shelved 64 shelved 65 unacknowledged')
  })

  it('acknowledged before, it asks anew after shelving', () =>
    expectLife('0 outside… 6 ack 7 shelve:10 8 outside… 20 outside', '6 acknowledged 16 shelved 17 unacknowledged'))

  it('what came and went while shelved is not lost: it waits, returned', () =>
    expectLife('0 shelve:60 1 outside… 10 inside… 70 inside', '59 shelved 60 returned 70 returned'))

  it('ends at its time, however late somebody looks', () =>
    expect(run('0 inside 1 shelve:5 4000 look', RULE).trail).toBe('0 resumed, 1 shelved, 6 unshelved, 20 lost'))

  it('its end and the loss of data come in the order of their times, however late somebody looks', () =>
    expect(run('0 inside 1 shelve:60 4000 look', RULE).trail).toBe('0 resumed, 1 shelved, 20 lost, 61 unshelved'))

  it('calls nobody when the time is up and nothing is wrong', () => {
    const life = run('0 inside… 1 shelve:5 2 inside… 9 inside', RULE)
    expect(life.events.at(-1)).toMatchObject({ kind: 'unshelved', who: null, announced: false })
  })

  it('is no longer than the longest allowed', () =>
    expect(run('0 shelve:999999', RULE).state.shelved?.untilMs).toBe(RULE.longestShelvingMs))

  it('keeps who and why', () =>
    expect(run('0 shelve:60', RULE).state.shelved).toMatchObject({ who: 'A. Fitter', reason: 'being worked on' }))

  it('can be shelved anew, for a time from then on', () =>
    expect(run('0 shelve:60 30 shelve:60', RULE).state.shelved?.untilMs).toBe(90_000))

  it('out of service judges nothing and makes no event, whatever is seen', () => {
    const life = run('0 outside… 6 out 7 outside… 500 inside… 600 look', RULE)
    expect(life.trail).toBe('0 resumed, 5 activated, 6 taken-out')
    expectLife('0 outside… 6 out 7 outside… 500 look', '6 out-of-service 500 out-of-service')
  })

  it('back in service it knows nothing before the first look, and alarms like any other', () =>
    expectLife('0 inside 1 out 50 in 51 outside… 56 outside', '50 unknown 51 normal 56 unacknowledged'))

  it('out of service ends a shelving; it cannot be shelved then', () => {
    const { state } = run('0 shelve:60 1 out 2 shelve:60', RULE)
    expect([state.shelved, state.outOfService?.reason]).toEqual([null, 'cell replaced'])
  })
})

describe('time', () => {
  it('never goes back within a run: an earlier time counts as the newest seen', () => {
    const { state } = run('10 inside', RULE)
    const { events } = step(RULE, state, { kind: 'shelve', who: 'A. Fitter', reason: 'x', forMs: 1000 }, 0)
    expect(events).toMatchObject([{ kind: 'shelved', atMs: 10_000, untilMs: 11_000 }])
  })

  it('a shelving taken up from the future, as after the wall clock was set back, keeps its length from now', () => {
    const { state } = run('1000000 shelve:60', RULE)
    expect(takeUp(memoryOf(state), 5000).shelved).toMatchObject({ atMs: 5000, untilMs: 65_000 })
  })

  it('after a restart silence counts from the start, and an active alarm is not forgotten', () => {
    const { state } = run('0 outside… 6 outside', RULE)
    const again = takeUp(memoryOf(state), 1_000_000)
    expect(step(RULE, again, { kind: 'time' }, 1_019_000).state.standing).toBe('active')
    expect(step(RULE, again, { kind: 'time' }, 1_020_000)).toMatchObject({
      events: [{ kind: 'lost', atMs: 1_020_000 }],
    })
    expect(firstMemory(0).standing).toBe('unknown')
  })
})

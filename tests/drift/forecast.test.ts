import { describe, expect, test } from 'vitest'
import { forecastOf } from '../../lib/drift/forecast.ts'

const limit = { target: 0, half: 5, source: 'of the test' }

describe('when a line reaches its limit', () => {
  test('at the told rate, with the soonest and latest that value and rate allow', () => {
    // From 2 at 0.5/h: 6 h. Soonest from 2.2 at 0.6: 4.67 h; latest from 1.8 at 0.4: 8 h.
    const told = forecastOf({ value: 2, U: 0.2, rate: 0.5, low: 0.4, high: 0.6 }, limit)
    expect(told.state).toBe('reaches')
    expect(told.hours).toBeCloseTo(6, 12)
    expect(told.earliestHours).toBeCloseTo(2.8 / 0.6, 12)
    expect(told.latestHours).toBeCloseTo(8, 12)
    expect(told.sentence).toBe('Reaches its limit in about 6 h: at the soonest in 5 h, at the latest in 8 h.')
  })
  test('downwards to the lower limit', () =>
    expect(forecastOf({ value: -2, U: 0, rate: -1, low: -1, high: -1 }, limit).hours).toBeCloseTo(3, 12))
  test('may, when the rate might as well be none: the latest is open', () => {
    const told = forecastOf({ value: 2, U: 0.2, rate: 0.1, low: -0.01, high: 0.2 }, limit)
    expect(told).toMatchObject({ state: 'may-reach', latestHours: null })
  })
  test('never, when at no rate within a week', () =>
    expect(forecastOf({ value: 0, U: 0.1, rate: 0, low: -0.01, high: 0.01 }, limit)).toMatchObject({
      state: 'never',
      hours: null,
      earliestHours: null,
      latestHours: null,
    }))
  test('already, when the line is beyond', () =>
    expect(forecastOf({ value: -6, U: 0.1, rate: 1, low: 0.9, high: 1.1 }, limit)).toMatchObject({
      state: 'beyond',
      hours: 0,
    }))
})

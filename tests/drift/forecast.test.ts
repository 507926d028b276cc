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
  test('may, however wide the interval, as long as no rate at all lies within it', () => {
    // Up at 0.5/h or down at 0.5/h: 10 h either way, and never in between.
    const told = forecastOf({ value: 0, U: 0, rate: 0.001, low: -0.5, high: 0.5 }, limit)
    expect(told).toMatchObject({ state: 'may-reach', hours: null, earliestHours: 10, latestHours: null })
  })
  test('is never told later than the latest, though the value may be beyond its limit already', () => {
    // At the latest from the other limit, 10 away, at 0.8/h: 12.5 h.
    const told = forecastOf({ value: 0, U: 6, rate: 1, low: 0.8, high: 1.2 }, limit)
    expect(told).toMatchObject({ state: 'reaches', hours: 5, earliestHours: 0, latestHours: 12.5 })
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

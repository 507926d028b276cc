import { describe, expect, it } from 'vitest'
import { observedOf } from '../../lib/diagnosis/observed.ts'
import type { DiagnosisFeature } from '../../shared/schemas/diagnosis.ts'
import { feature } from './support/pictures.ts'

const now = (value: number, u: number): DiagnosisFeature => feature('imbalance-now', value, u)
const recorded = (value: number, u: number): DiagnosisFeature => ({ ...now(value, u), source: 'running.points' })
const counted = (...features: readonly DiagnosisFeature[]) => observedOf(features).map(({ feature: one }) => one.value)

describe('of what a record and the running zone tell of one quantity', () => {
  it('the newer counts where they differ, however well the older one was known', () => {
    expect(counted(recorded(1, 0.1), now(6, 0.5))).toEqual([6])
    expect(counted(now(6, 0.5), recorded(1, 0.1))).toEqual([6])
  })
  it('the newer counts where they agree and are as well known', () => {
    expect(counted(recorded(1, 0.3), now(1.2, 0.5))).toEqual([1.2])
  })
  it('the older counts where they agree and it is known twice as well', () => {
    expect(counted(recorded(1, 0.1), now(1.2, 0.5))).toEqual([1])
  })
  it('of two of one time the better known counts', () => {
    expect(counted(now(1, 0.4), now(3, 0.2))).toEqual([3])
    expect(counted(recorded(3, 0.2), recorded(1, 0.4))).toEqual([3])
  })
})

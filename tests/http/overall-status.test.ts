import { expect, test } from 'vitest'
import { overallStatus } from '../../gateway/health.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'

const devices = (...states: DeviceHealth['state'][]) => states.map((state) => ({ state })) as DeviceHealth[]

test.each([
  [[], 'lost'],
  [['starting'], 'lost'],
  [['lost', 'lost'], 'lost'],
  [['lost', 'answering'], 'degraded'],
  [['partly'], 'degraded'],
  [['answering', 'ended'], 'ok'],
] as const)('devices %j make the gateway %s: nothing heard is never well', (states, status) => {
  expect(overallStatus(devices(...states), false)).toBe(status)
})

test('a refused edit degrades, and never hides that all is lost', () => {
  expect(overallStatus(devices('answering'), true)).toBe('degraded')
  expect(overallStatus(devices('lost'), true)).toBe('lost')
})

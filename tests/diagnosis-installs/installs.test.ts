import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import type { FaultId } from '../../shared/faults.ts'
import { findScenario } from '../../simulator/scenarios/registry.ts'
import { SimulatedInstall } from './simulated-install.ts'
import { verify } from './verify.ts'

/**
 * A few installs of `npm run bench:diagnosis`, which tries every cause in fifty: whole ways from a running line through
 * the tests that the diagnosis asks for.
 */
function found(fault: FaultId | null, severity = 1, zeroTakenSince = true, side: 'operator_side' | null = null) {
  const onset = { kind: 'constant' } as const
  const at = new SimulatedInstall({
    scenario: findScenario('install'),
    seed: 7,
    unrest: 1,
    speedMMin: 80,
    newtons: 180,
    faults: fault === null ? [] : [{ fault, zone: '', side, severity, onset }],
    zeroTakenSince,
  })
  return verify(at)
}

describe('a simulated install, watched running and then tested as the diagnosis asks', () => {
  it('sound: nothing is claimed', { timeout: 120_000 }, () => {
    const { final, made } = found(null)
    expect(final.leader.members[0]?.hypothesis.id).toBe('healthy')
    expect(final.combination).toBeNull()
    expect(made.length).toBeGreaterThan(5)
  })

  it.each([
    ['polarity-reversed', 1, true, 'operator_side'],
    ['both-arrows-off', 20, true, null],
    ['span-wrong', 20, true, null],
    ['roller-unbalance', 8, true, null],
    ['mains-hum', 1, true, null],
    ['overloaded-cell', 12, false, 'operator_side'],
    ['intermittent-cable', 10, false, 'operator_side'],
    ['stuck-value', 1, false, 'operator_side'],
  ] as const)('%s of %d is first, on its side', { timeout: 120_000 }, (fault, severity, zeroTakenSince, side) => {
    const { ranked } = found(fault, severity, zeroTakenSince, side).final
    const told = ranked.slice(0, 3).map(({ hypothesis: { id }, probability }) => `${id} ${probability.toFixed(2)}`)
    expect(ranked[0]?.hypothesis.id, told.join('; ')).toBe(fault)
    if (side !== null) expect(ranked[0]?.hypothesis.side).toBe(side)
  })

  it('of causes that running data cannot tell apart, none is claimed above its share of the group', {
    timeout: 120_000,
  }, () => {
    const { members, probability } = found('polarity-reversed', 1, true, 'operator_side').passive.leader
    const priors = members.reduce((sum, { hypothesis }) => sum + hypothesis.prior, 0)
    expect(members.map(({ hypothesis: { id } }) => id).toSorted()).toEqual(['arrow-reversed', 'polarity-reversed'])
    for (const one of members) expect(one.probability).toBeCloseTo((probability * one.hypothesis.prior) / priors, 9)
  })
})

/** Files that a file of the project imports, whichever way, and theirs. */
function reached(file: string, seen = new Set<string>()): Set<string> {
  if (seen.has(file)) return seen
  seen.add(file)
  for (const [, path] of readFileSync(file, 'utf8').matchAll(/from '(\.[^']+)'/g))
    if (path !== undefined) reached(resolve(dirname(file), path), seen)
  return seen
}

it('diagnosis reaches neither the simulator nor the module that makes these installs', () => {
  const root = fileURLToPath(new URL('../..', import.meta.url))
  const folder = join(root, 'lib', 'diagnosis')
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'))
  expect(files.length).toBeGreaterThan(40)
  const all = new Set(files.flatMap((name) => [...reached(join(folder, name))]))
  expect([...all].filter((file) => /\/(simulator|tests|gateway|app)\//.test(file.slice(root.length - 1)))).toEqual([])
})

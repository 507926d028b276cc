import { describe, expect, it } from 'vitest'
import { findScenario } from '../../simulator/scenarios/registry.ts'
import { absent, runPython, titled } from '../http/support/python-peer.ts'
import { type InstallOptions, SimulatedInstall } from './simulated-install.ts'

/**
 * Readings of the install of install.yaml from plane geometry and the momentum balance alone, in another language: wraps by
 * root search (scipy), F = (T − m v²)(u_out − u_in), levers about mid-span. Status C: computed with scipy.
 */
const noScipy = absent('scipy')
const PROGRAM = `
import json, sys
import numpy as np
from scipy.optimize import brentq
MASS, APART, G, BASIS, WIDTH = 18, 1.5, 9.81, .09, 1.2
CELLS = dict(drive_side=(-50.3, 2.001, .0055, 1.0007, -1), operator_side=(-49.5, 1.998, -.0081, .9994, 1))
def travel(a, b):
    (ca, ra, turn_a), (cb, rb, turn_b) = a, b
    d = np.subtract(cb, ca)
    line = lambda al: d @ [-np.sin(al), np.cos(al)] - (turn_b * rb - turn_a * ra)
    straight = np.arctan2(d[1], d[0])
    al = brentq(line, straight - 1.5, straight + 1.5)
    return np.array([np.cos(al), np.sin(al)])
def readings(case, T, v, kg):
    before, roller = ((-.13, -.6), .06, 1), ((0, 0), .07, -1)
    after = ((.545, -.085), .06, -case.get('after', 1))
    pull = travel(roller, after) - travel(before, roller)
    web = BASIS * WIDTH * case.get('basis', 1) * v * v
    out = {}
    for side, (angle, rated, balance, own, sign) in CELLS.items():
        # The arrow points down: leaning downstream is towards +x, counter-clockwise.
        a = np.radians(angle + case.get('lean', {}).get(side, 0))
        arrow = np.array([np.cos(a), np.sin(a)])
        gain = own * case.get('gain', {}).get(side, 1) * rated / 500
        centre = .005 + case.get('off', 0)
        share = lambda e: .5 + sign * e / APART
        weight = arrow @ [0, -MASS * G / 2]
        out[side] = dict(
            bare=balance + case.get('zero', 0) * rated + gain * weight,
            weight=gain * (arrow @ pull) * kg * G / 2,
            web=gain * (arrow @ pull) * (T * share(.004 + centre) - web * share(centre)))
    return out
d = json.load(sys.stdin)
json.dump([readings(c, d['newtons'], d['speed'], d['kg']) for c in d['cases']], sys.stdout)
`

const SIDES = ['drive_side', 'operator_side'] as const
type Sides = Readonly<Record<(typeof SIDES)[number], Readings>>
interface Readings {
  readonly bare: number
  readonly weight: number
  readonly web: number
}
const [NEWTONS, SPEED, KG] = [200, 5, 10]
/** The roller’s drag along the rope, a centre of mass 2 mm off mid-span and noise: what the peer leaves out, share of a reading. */
const LEFT_OUT = 0.005

type Told = Omit<InstallOptions['faults'][number], 'zone' | 'onset'>
const CASES: readonly (readonly [string, Told | null, object])[] = [
  ['sound', null, {}],
  [
    'both arrows 15° downstream',
    { fault: 'both-arrows-off', side: null, severity: 15 },
    { lean: { drive_side: 15, operator_side: 15 } },
  ],
  [
    'one arrow 20° downstream',
    { fault: 'arrows-differ', side: 'operator_side', severity: 20 },
    { lean: { operator_side: 20 } },
  ],
  [
    'gain 8 % up on one side',
    { fault: 'gain-one-side', side: 'operator_side', severity: 8 },
    { gain: { operator_side: 1.08 } },
  ],
  ['twice the basis weight', { fault: 'momentum-left-out', side: null, severity: 100 }, { basis: 2 }],
  ['web 112.5 mm off centre', { fault: 'web-off-centre', side: null, severity: 15 }, { off: 0.1125 }],
  ['zero off by 10 % of rated output', { fault: 'zero-wrong', side: null, severity: 10 }, { zero: 0.1 }],
  ['another path after the roller', { fault: 'other-path', side: null, severity: 1 }, { after: -1 }],
]

function read(told: Told | null): Sides {
  const at = new SimulatedInstall({
    scenario: findScenario('install'),
    seed: 90_001,
    faults: told === null ? [] : [{ ...told, zone: '', onset: { kind: 'constant' } }],
    unrest: 1,
    speedMMin: SPEED * 60,
    newtons: NEWTONS,
    zeroTakenSince: false,
  })
  const means = (id: string, seconds: number) => {
    const { sides } = at.capture(id, seconds)
    return SIDES.map((side) => sides[side]?.electrical?.value ?? Number.NaN)
  }
  at.bare()
  const bare = means('bare', 4)
  at.act('hang-weight', { kg: KG })
  const weight = means('weight', 4)
  at.act('take-weight-off')
  at.running()
  at.wait(60)
  const web = means('web', 20)
  const less = (of: readonly number[], i: number) => (of[i] ?? Number.NaN) - (bare[i] ?? Number.NaN)
  const of = (i: number): Readings => ({ bare: bare[i] ?? Number.NaN, weight: less(weight, i), web: less(web, i) })
  return { drive_side: of(0), operator_side: of(1) }
}

describe('readings of a simulated install against scipy', () => {
  it.skipIf(noScipy !== null)(
    titled('sound and with one fault: bare roller, known weight and running web agree to 0.5 %', noScipy),
    { timeout: 120_000 },
    () => {
      const input = { cases: CASES.map(([, , one]) => one), newtons: NEWTONS, speed: SPEED, kg: KG }
      const peers = runPython(PROGRAM, input) as Sides[]
      for (const [i, [title, fault]] of CASES.entries()) {
        const made = read(fault)
        for (const side of SIDES)
          for (const key of ['bare', 'weight', 'web'] as const) {
            const ratio = made[side][key] / (peers[i]?.[side][key] ?? Number.NaN)
            expect(Math.abs(ratio - 1), `${title}, ${side}, ${key}`).toBeLessThan(LEFT_OUT)
          }
      }
    },
  )
})

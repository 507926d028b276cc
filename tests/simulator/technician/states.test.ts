import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Machine } from '../../../simulator/physics/machine.ts'
import { NotPossible } from '../../../simulator/technician/not-possible.ts'
import { ACTS, type ActId } from '../../../simulator/technician/registry.ts'
import { Technician } from '../../../simulator/technician/technician.ts'
import { quietLine } from '../quiet-line.ts'
import { atTheLine, RUNNING, ZONE } from './at-the-line.ts'

/** Arguments for each act that needs some. */
const SAID: Partial<Record<ActId, Record<string, unknown>>> = {
  start: { speed_m_min: 120 },
  'set-tension': { newtons: 200 },
  wait: { seconds: 5 },
  'push-end': { side: 'drive_side' },
  'hang-weight': { kg: 10 },
  'turn-arrow': { side: 'drive_side', to_deg: -103 },
  'set-clearance': { side: 'drive_side', to_mm: 2 },
  'connect-simulator': { side: 'drive_side', mv_v: 1 },
  'turn-knob': { side: 'drive_side', filter_hz: 10 },
  'move-web-guide': { towards_operator_mm: 5 },
}
const saidFor = (id: ActId) => SAID[id] ?? ('side' in ACTS[id].args.shape ? { side: 'drive_side' } : {})
const IDS = Object.keys(ACTS) as ActId[]

describe('what the state allows', () => {
  it.each([
    ['push-end', { side: 'drive_side' }],
    ['hang-weight', { kg: 10 }],
    ['open-guards', {}],
    ['lock-out', {}],
    ['measure-arrow', { side: 'drive_side' }],
    ['wiggle-cable', { side: 'drive_side' }],
    ['swap-cables', {}],
  ] as const)('%s on a running machine is refused as unsafe, changes nothing, costs nothing', (id, args) => {
    const { machine, technician } = atTheLine()
    const before = structuredClone(machine.parameters)
    const result = technician.do(id, args)
    expect(result).toMatchObject({ refused: { unsafe: true, reason: expect.stringContaining('running') }, seconds: 0 })
    expect(result.observation).toBeUndefined()
    expect(machine.parameters).toEqual(before)
    expect(technician.tally).toEqual({ seconds: 0, done: 0, refused: 1, unsafe: 1 })
  })

  it.each([
    ['push-end', { side: 'drive_side' }],
    ['hang-weight', { kg: 10 }],
    ['open-guards', {}],
    ['turn-arrow', { side: 'drive_side', to_deg: 0 }],
  ] as const)('%s on a stopped machine that is not locked out is refused as unsafe', (id, args) => {
    const { technician, all } = atTheLine()
    all('stop')
    expect(technician.do(id, args)).toMatchObject({
      refused: { unsafe: true, reason: expect.stringContaining('not locked out') },
    })
  })

  it('nothing is unlocked while a weight hangs or an end is pushed, in whichever zone', () => {
    const { technician, all } = atTheLine()
    all('stop', 'lock-out', ['hang-weight', { kg: 10 }], 'open-guards')
    expect(technician.do('unlock')).toMatchObject({
      refused: { unsafe: true, reason: expect.stringContaining('weight') },
    })
    expect(technician.do('unlock', { zone: 'edge-strip' })).toMatchObject({
      refused: { unsafe: true, reason: expect.stringContaining(`zone ${ZONE}`) },
    })
    all('take-weight-off', ['push-end', { side: 'operator_side' }])
    expect(technician.do('unlock').refused?.reason).toContain('push')
    all('let-go', 'unlock')
    expect(technician.condition()).toMatchObject({ power: 'stopped', guards: 'closed', driveEnabled: false })
  })

  it('no drive is enabled on a machine that is locked out; without web it can be when unlocked', () => {
    const { technician, all, machine, state } = atTheLine()
    all('stop', 'lock-out', 'take-web-off')
    expect(technician.do('enable-drive').refused?.reason).toContain('locked out')
    all('unlock', 'enable-drive')
    expect(technician.condition()).toMatchObject({ power: 'stopped', web: 'off', driveEnabled: true })
    expect(machine.state.driveEnabled).toBe(true)
    expect(state().tensionIn).toBe(0)
    expect(technician.do('start', { speed_m_min: 100 }).refused?.reason).toContain('the web is off')
    // The line is one: another zone cannot be started past this one either.
    expect(() => technician.do('start', { zone: 'edge-strip', speed_m_min: 100 })).toThrow(/thread the web/)
  })

  it('what is not there and what cannot be done as said is told, and is no deed', () => {
    const { technician, all } = atTheLine()
    expect(() => technician.do('dance')).toThrow(/no act dance; there are stop/)
    expect(() => technician.do('stop', { zone: 'nowhere' })).toThrow(/no zone nowhere; there are coater-outfeed/)
    expect(() => technician.do('start', { speed_m_min: 'fast' })).toThrow(/speed_m_min/)
    expect(() => technician.do('stop', { loudly: true })).toThrow(NotPossible)
    all('stop', 'lock-out', 'take-web-off')
    expect(() => technician.do('hang-weight', { kg: 5, path: { arriving_deg: 90, leaving_deg: 90 } })).toThrow(
      /does not press/,
    )
    expect(technician.deeds.map(({ act }) => act)).toEqual(['stop', 'lock-out', 'take-web-off'])
  })
})

describe('time', () => {
  it('is what the acts cost, and goes by on the machine', () => {
    const { technician, machine, all } = atTheLine()
    const before = machine.state.time
    all('stop')
    // 4 m/s at 0.25 m/s² are 16 s, after the 10 s that a stop costs.
    expect(technician.tally.seconds).toBeCloseTo(26, 9)
    all('lock-out', ['wait', { seconds: 600 }])
    expect(technician.tally.seconds).toBeCloseTo(26 + 180 + 600, 9)
    expect(machine.state.time - before).toBeCloseTo(26 + 180 + 600, 3)
  })

  it('the line runs as told by hand, and by its programme again when it is given back', () => {
    const { technician, machine, all, state } = atTheLine()
    all('stop', ['set-tension', { newtons: 300 }], ['start', { speed_m_min: 120 }])
    technician.do('wait', { seconds: 60 })
    expect(machine.state.speed).toBeCloseTo(2, 6)
    expect(state().tensionIn).toBeCloseTo(300, 0)
    expect(machine.manual).not.toBeNull()
    technician.manual(false)
    machine.step(0.001)
    expect(machine.manual).toBeNull()
    expect(state().setTension).toBe(250)
  })

  it('the line is not given back while somebody works at it', () => {
    const { technician, all } = atTheLine()
    all('stop', 'lock-out')
    expect(() => technician.manual(false)).toThrow(/somebody works at the machine/)
  })
})

describe('any order of acts', () => {
  it('leaves nobody at a machine that can move, counts every deed, and reads the same for the same seed', () => {
    const steps = fc.array(fc.constantFrom(...IDS), { minLength: 5, maxLength: 40 })
    fc.assert(
      fc.property(steps, fc.integer({ min: 1, max: 1000 }), (ids, seed) => {
        const first = walk(ids, seed)
        const again = walk(ids, seed)
        expect(again.deeds).toEqual(first.deeds)
        const cost = first.deeds.reduce((sum, { seconds }) => sum + seconds, 0)
        expect(first.tally.seconds).toBeCloseTo(cost, 9)
        expect(first.tally.done + first.tally.refused).toBe(first.deeds.length)
        for (const deed of first.deeds) expect(deed.refused === null).toBe(deed.observation !== null)
      }),
      { numRuns: 60, seed: 5 },
    )
  })
})

/** Does the acts in this order on a machine whose time hurries, and looks at its safety after each. */
function walk(ids: readonly ActId[], seed: number): Technician {
  const machine = new Machine(quietLine(), RUNNING, seed)
  const pass = () => {
    for (let i = 0; i < 4; i++) machine.step(0.5)
  }
  const technician = new Technician(machine, seed, { pass })
  for (const id of ids) {
    try {
      technician.do(id, saidFor(id))
    } catch (error) {
      if (!(error instanceof NotPossible)) throw error
      expect.fail(`${id} was said as it can be: ${error.message}`)
    }
    const { power, guards, driveEnabled, loads, roller, web } = technician.condition()
    if (power === 'locked out') expect(machine.manual).toMatchObject({ speed: 0, driveEnabled: false, slack: true })
    else expect({ guards, loads }).toEqual({ guards: 'closed', loads: [] })
    if (power === 'running')
      expect({ driveEnabled, roller, off: web === 'off' }).toEqual({
        driveEnabled: true,
        roller: 'on the cells',
        off: false,
      })
  }
  return technician
}

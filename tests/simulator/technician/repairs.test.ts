import { describe, expect, it } from 'vitest'
import { soundFit } from '../../../simulator/physics/fit.ts'
import type { ZoneParameters } from '../../../simulator/physics/zone.ts'
import { quietLine } from '../quiet-line.ts'
import { atTheLine } from './at-the-line.ts'

const radians = (degrees: number) => (degrees * Math.PI) / 180

interface Repair {
  readonly of: string
  readonly spoil: (zone: ZoneParameters) => void
  readonly acts: readonly (string | [string, Record<string, unknown>])[]
  readonly read: (zone: ZoneParameters) => unknown
}

const side = { side: 'operator_side' }
const endOf = (zone: ZoneParameters) => {
  zone.fit ??= soundFit()
  return zone.fit.ends.operator_side
}

/** What is wrong, what mends it, and the parameter in which it shows. */
const REPAIRS: readonly Repair[] = [
  {
    of: 'a twisted cell',
    spoil: (zone) => {
      endOf(zone).freePlay = 0
    },
    acts: [['free-cell', side]],
    read: (zone) => endOf(zone).freePlay,
  },
  {
    of: 'loose bolts and clamps',
    spoil: (zone) => Object.assign(endOf(zone), { boltsTight: false, clampsCrosswise: false }),
    acts: ['tighten-clamps'],
    read: (zone) => [endOf(zone).boltsTight, endOf(zone).clampsCrosswise],
  },
  {
    of: 'a wet connector',
    spoil: (zone) => {
      zone.cells.operator_side.insulation = 2e5
      endOf(zone).connectorDry = false
    },
    acts: [['dry-connector', side]],
    read: (zone) => [zone.cells.operator_side.insulation, endOf(zone).connectorDry],
  },
  {
    of: 'a cut cable',
    spoil: (zone) => Object.assign(zone.cells.operator_side, { open: true, polarity: -1, leadLoss: 0.02 }),
    acts: [['replace-cable', side]],
    read: ({ cells: { operator_side: cell } }) => [cell.open, cell.polarity, cell.leadLoss],
  },
  {
    of: 'an overloaded cell',
    spoil: (zone) => Object.assign(zone.cells.operator_side, { zeroBalance: 0.4, gain: 0.97 }),
    acts: [['replace-cell', side]],
    read: ({ cells: { operator_side: cell } }) => [cell.zeroBalance, cell.gain],
  },
  {
    of: 'an amplifier channel',
    spoil: (zone) => Object.assign(zone.cells.operator_side, { filterHz: 0.5, knobGain: 1.2, adcStep: 0.05 }),
    acts: [['replace-channel', side]],
    read: ({ cells: { operator_side: cell } }) => [cell.filterHz, cell.knobGain, cell.adcStep],
  },
  {
    of: 'a tight bearing',
    spoil: (zone) => {
      zone.roller.dragTorque = 0.8
    },
    acts: ['clean-bearing'],
    read: (zone) => zone.roller.dragTorque,
  },
  {
    of: 'an unbalanced, eccentric roller',
    spoil: (zone) => {
      zone.roller.unbalance.drive_side.massRadius = 0.002
      zone.roller.runout.amplitude = 9
    },
    acts: ['balance-roller'],
    read: (zone) => [zone.roller.unbalance, zone.roller.runout],
  },
  {
    of: 'a web on another path',
    spoil: (zone) => {
      zone.path.after.centre = { x: 0.5, y: -0.4 }
    },
    acts: ['rethread-as-drawn'],
    read: (zone) => zone.path,
  },
]

describe('repairs', () => {
  it.each(REPAIRS)('of $of bring back the parameter that was wrong, and only the act does', ({ spoil, acts, read }) => {
    const { all, zone } = atTheLine()
    all('stop', 'lock-out', 'take-web-off')
    const sound = structuredClone(read(zone()))
    spoil(zone())
    expect(read(zone())).not.toEqual(sound)
    all('let-go', ['wait', { seconds: 60 }])
    expect(read(zone())).not.toEqual(sound)
    all(...acts)
    expect(read(zone())).toEqual(sound)
  })

  it('an arrow is turned to its mark within a degree, and its share of the roller’s weight with it', () => {
    const line = quietLine()
    const { all, zone, forces } = atTheLine(line)
    zone().cells.drive_side.arrow = radians(-103 + 12)
    all('stop', 'lock-out', 'take-web-off')
    const turned = forces().ds
    all(['turn-arrow', { side: 'drive_side', to_deg: -103 }])
    expect(Math.abs(zone().cells.drive_side.arrow - radians(-103))).toBeLessThan(radians(1.2))
    // 12° nearer to vertical it had felt cos(1°)/cos(13°) of what it feels now.
    expect(forces().ds / turned).toBeCloseTo(Math.cos(radians(13)) / Math.cos(radians(1)), 2)
  })

  it('a line that is threaded otherwise is seen to be, and as drawn again is seen as drawn', () => {
    const { all, zone, technician, machine } = atTheLine()
    const seen = () => technician.do('look-at-path').observation?.readings[0]
    expect(seen()).toMatchObject({ figure: 'path-as-drawn', value: true })
    zone().path.after.centre = { x: 0.5, y: -0.4 }
    machine.refresh()
    expect(seen()).toMatchObject({ value: false })
    all('stop', 'lock-out', 'rethread-as-drawn')
    expect(seen()).toMatchObject({ value: true })
  })

  // Aluminium, 1.6 m, 40 K in a cold steel frame: 1.48 mm, of which some is lost while the machine is locked out.
  it('a warm shaft has closed the gap of its free end, and of no other', () => {
    const { all, zone, technician } = atTheLine()
    zone().fit = soundFit()
    Object.assign(zone().fit?.growth ?? {}, { shaftExpansion: 23.1e-6, shaftWarmth: 40 })
    const gap = (side: string) => technician.do('measure-clearance', { side }).observation?.readings[0]?.value
    all(['wait', { seconds: 14_400 }], 'stop', 'lock-out')
    expect(gap('drive_side')).toBeCloseTo(2, 0)
    expect(gap('operator_side')).toBeLessThan(0.9)
    expect(gap('operator_side')).toBeGreaterThan(0.4)
  })

  it('moving the web guide moves the line of pull by as much', () => {
    const { all, state } = atTheLine()
    const before = state().lineOfPull
    all(['move-web-guide', { towards_operator_mm: -15 }])
    expect(state().lineOfPull - before).toBeCloseTo(-0.015, 9)
  })
})

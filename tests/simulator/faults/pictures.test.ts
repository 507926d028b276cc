import { describe, expect, it } from 'vitest'
import { deviation, fault, lineWith, mean, OS, steady, trueLine, ZONE } from './true-line.ts'

const sound = steady([])
const radians = (degrees: number) => (degrees * Math.PI) / 180

describe('faults of arrow and wire', () => {
  it.each([5, -12, 30])('one arrow off by %d°: its side falls by cos δ and the imbalance is tan²(δ/2)', (angle) => {
    const { ds, os } = steady([fault('arrows-differ', angle, OS)]).slope
    expect(ds).toBeCloseTo(sound.slope.ds, 9)
    expect((ds - os) / (ds + os)).toBeCloseTo(Math.tan(radians(angle) / 2) ** 2, 6)
  })

  it('both arrows off: both sides fall by cos δ', () => {
    const { ds, os } = steady([fault('both-arrows-off', 20)]).slope
    expect(ds / sound.slope.ds).toBeCloseTo(Math.cos(radians(20)), 6)
    expect(os / sound.slope.os).toBeCloseTo(Math.cos(radians(20)), 6)
  })

  it.each(['arrow-reversed', 'polarity-reversed'] as const)('%s: that side falls when tension rises', (id) => {
    const { ds, os } = steady([fault(id, 1, OS)]).slope
    expect(ds).toBeCloseTo(sound.slope.ds, 9)
    expect(os).toBeCloseTo(-sound.slope.os, 6)
  })

  it.each([1, 2])('both reversed, kind %d: the sum falls', (kind) => {
    const { ds, os } = steady([fault('both-reversed', kind)]).slope
    expect(ds + os).toBeCloseTo(-sound.slope.ds - sound.slope.os, 6)
  })

  it('sides swapped: each channel shows the other end', () => {
    const off = fault('web-off-centre', 15)
    const right = lineWith([off]).run(1)
    const wrong = lineWith([off, fault('sides-swapped')]).run(1)
    expect(wrong.ds).toBeCloseTo(right.os, 1)
    expect(wrong.os).toBeCloseTo(right.ds, 1)
    expect(right.os).toBeGreaterThan(right.ds + 10)
  })
})

describe('faults of gain and zero', () => {
  it('gain of one side and channel fault: ratio on one side; swapping the cables tells them apart', () => {
    const swapped = fault('sides-swapped')
    const ratio = (id: 'gain-one-side' | 'channel-fault', more = [swapped]) => {
      const { ds, os } = steady([fault(id, 8, OS), ...more]).slope
      return { ds: ds / sound.slope.ds, os: os / sound.slope.os }
    }
    expect(ratio('gain-one-side', []).os).toBeCloseTo(1.08, 6)
    expect(ratio('channel-fault', []).os).toBeCloseTo(1.08, 6)
    expect(ratio('gain-one-side').ds).toBeCloseTo(1.08, 6)
    expect(ratio('gain-one-side').os).toBeCloseTo(1, 6)
    expect(ratio('channel-fault').os).toBeCloseTo(1.08, 6)
  })

  it('zero wrong: the same newtons whatever the tension; span wrong: the same ratio on both sides', () => {
    const zero = steady([fault('zero-wrong', 4)])
    for (const at of ['low', 'high'] as const) {
      expect(zero[at].ds - sound[at].ds).toBeCloseTo(20, 6)
      expect(zero[at].os - sound[at].os).toBeCloseTo(20, 6)
    }
    const span = steady([fault('span-wrong', -10)])
    expect(span.high.ds / sound.high.ds).toBeCloseTo(0.9, 9)
    expect(span.low.os / sound.low.os).toBeCloseTo(0.9, 9)
  })

  it('overload: the zero steps at its moment and stays', () => {
    const line = lineWith([fault('overloaded-cell', 10, { ...OS, onset: { kind: 'sudden', after_s: 1 } })])
    const before = line.run(0.9).os
    expect(line.run(0.5).os - before).toBeCloseTo(50, 1)
    expect(line.run(2).os - before).toBeCloseTo(50, 1)
  })

  it('thermal drift of the zero: so much for each kelvin of its cell', () => {
    const parameters = trueLine()
    parameters.ambient = { start: 22, rise: 10, riseTime: 0.1, wander: 0 }
    for (const cell of Object.values(parameters.zones[ZONE]?.cells ?? {})) cell.thermalTime = 0.1
    const warm = lineWith([fault('thermal-zero-drift', 0.2, OS)], { line: parameters }).run(3)
    expect(warm.os - lineWith([], { line: parameters }).run(3).os).toBeCloseTo(10, 3)
  })

  it('gain drift: per cent an hour, and the other side stays', () => {
    const line = lineWith([fault('span-drift', 3, OS)])
    const before = line.run(1)
    const after = line.run(3600, 0.2)
    expect(after.os / before.os).toBeCloseTo(1.03, 3)
    expect(after.ds / before.ds).toBeCloseTo(1, 3)
  })

  it('a cell unevenly warm: a zero that has fallen to 1/e after its thermal time', () => {
    const line = lineWith([fault('cell-temperature-gradient', 4, OS)])
    const first = line.run(0.5)
    expect(first.os - first.ds).toBeCloseTo(20, 1)
    const later = line.run(1800, 0.2)
    expect(later.os - later.ds).toBeCloseTo(20 / Math.E, 1)
  })
})

describe('faults of web and roller', () => {
  it('m v² left: nothing standing, low by the share of m v² at speed', () => {
    const low = (speed: number) => {
      const right = lineWith([], { speed }).run(1)
      const wrong = lineWith([fault('momentum-left-out', 50)], { speed }).run(1)
      return right.ds + right.os - wrong.ds - wrong.os
    }
    // 0.5 · 0.04 kg/m² · 1.3 m · v², through the web's force on the roller for each newton.
    const { machine } = lineWith([])
    const factor = Math.hypot(machine.resultant(ZONE).x, machine.resultant(ZONE).y)
    expect(low(10)).toBeCloseTo(0.5 * 0.04 * 1.3 * 100 * factor, 2)
    expect(low(2)).toBeCloseTo(0.5 * 0.04 * 1.3 * 4 * factor, 2)
  })

  it('tight bearing: tension lost over the roller', () => {
    const line = lineWith([fault('tight-bearing', 6)])
    line.run(1)
    const { tensionIn, tensionOut } = line.state()
    expect((tensionOut - tensionIn) / 250).toBeCloseTo(0.06, 4)
  })

  it('web off centre: the side difference it is named by', () => {
    const { ds, os } = steady([fault('web-off-centre', -15)]).slope
    expect((os - ds) / (os + ds)).toBeCloseTo(-0.15, 6)
  })

  it('another path: another force for each newton, by one ratio on both sides', () => {
    const { ds, os } = steady([fault('other-path')]).slope
    expect(ds / sound.slope.ds).toBeCloseTo(os / sound.slope.os, 6)
    expect(Math.abs(ds / sound.slope.ds - 1)).toBeGreaterThan(0.05)
  })

  it('unbalance: once per turn, four times as much at twice the speed; runout: the same', () => {
    const parameters = trueLine()
    const amplitude = (id: 'roller-unbalance' | 'roller-runout', speed: number) => {
      // Both are sized at the programme's 4 m/s.
      const line = lineWith([fault(id, 5)], { line: parameters, speed: 4 })
      const manual = { speed, setTension: { [ZONE]: 250, 'edge-strip': 60 }, slack: false, driveEnabled: true }
      line.machine.takeOver(manual)
      line.run(10)
      const turns = Math.round((speed / (2 * Math.PI * 0.075)) * 2)
      const seconds = (turns * 2 * Math.PI * 0.075) / speed
      return Math.SQRT2 * deviation(line.watch(seconds, () => line.state().cells.operator_side.force))
    }
    const side = (250 / 2) * sound.slope.os * 2
    expect(amplitude('roller-unbalance', 4) / side).toBeCloseTo(0.05, 3)
    expect(amplitude('roller-unbalance', 2) / amplitude('roller-unbalance', 4)).toBeCloseTo(0.25, 2)
    expect(amplitude('roller-runout', 4) / side).toBeCloseTo(0.05, 3)
    expect(amplitude('roller-runout', 2) / side).toBeCloseTo(0.05, 3)
  })

  it('the neighbour’s turn: the tension swings at 2 v/D by its share', () => {
    const line = lineWith([fault('neighbour-roller', 5)])
    line.run(10)
    const turn = Math.PI * 0.7
    const tension = line.watch((4 * turn) / 4, () => line.state().tensionIn)
    expect((Math.SQRT2 * deviation(tension)) / 250).toBeCloseTo(0.05, 2)
  })

  it('slipping: the roller turns slower than the web runs by its share', () => {
    const line = lineWith([fault('idler-slipping', 20)])
    line.run(90, 0.002)
    expect((line.state().rollerRate * 0.075) / 4).toBeCloseTo(0.8, 2)
    expect(line.state().slips).toBe(true)
  })

  it('real tension change: the web is at another tension than told, on both sides alike', () => {
    const line = lineWith([fault('tension-change', 20)])
    const now = line.run(30)
    const { tensionIn, setTension } = line.state()
    expect(tensionIn / setTension).toBeCloseTo(1.2, 3)
    expect(now.ds).toBeCloseTo(now.os, 6)
  })
})

describe('faults of the fit', () => {
  it('clearance closed: nothing cold, then both sides move apart with the shaft’s warmth', () => {
    const line = lineWith([fault('clearance-closed', 0.5, OS)])
    const cold = line.run(1)
    expect(cold.os - cold.ds).toBeCloseTo(0, 3)
    const warm = line.run(4800, 0.2)
    const kelvin = 6 * (1 - Math.exp(-2)) - 2
    expect(warm.os - cold.os).toBeCloseTo(0.005 * 500 * kelvin, 1)
    expect(warm.ds - cold.ds).toBeCloseTo(-0.005 * 500 * kelvin, 1)
  })

  it('binding: the side reads higher coming from above than from below, the other one alike', () => {
    const from = (tension: number) => {
      const line = lineWith([fault('binding', 5, OS)], { tension })
      line.run(1)
      const setTension = { [ZONE]: 250, 'edge-strip': 60 }
      line.machine.takeOver({ speed: 4, setTension, slack: false, driveEnabled: true })
      return line.run(40)
    }
    const above = from(400)
    const below = from(100)
    // 5 % of 500 N is the loop; the drive overshoots a little, which closes part of it.
    expect(above.os - below.os).toBeGreaterThan(12)
    expect(above.os - below.os).toBeLessThan(25.5)
    expect(above.ds).toBeCloseTo(below.ds, 1)
  })

  it('loose clamp: rattles once per turn', () => {
    const line = lineWith([fault('loose-clamp', 2, OS)])
    line.run(1)
    const os = line.watch(1, () => line.state().cells.operator_side.force)
    // 0.3 of 10 N, either way.
    expect(deviation(os)).toBeGreaterThan(2.5)
    expect(deviation(line.watch(1, () => line.state().cells.drive_side.force))).toBeLessThan(0.1)
  })
})

describe('faults of cable and channel', () => {
  it('open bridge: the rail, and said to be open', () => {
    const line = lineWith([fault('open-bridge', 1, OS)])
    line.run(1)
    expect(line.state().cells.operator_side).toMatchObject({ open: true, saturated: true })
    expect(line.state().cells.drive_side.open).toBe(false)
  })

  it('intermittent cable: open for its share of time', () => {
    const line = lineWith([fault('intermittent-cable', 100, OS)])
    const open = line.watch(60, () => (line.state().cells.operator_side.open ? 1 : 0))
    // About 200 breaks: the share is known within 10 % (1 σ); breaks may overlap.
    expect(mean(open)).toBeGreaterThan(0.06)
    expect(mean(open)).toBeLessThan(0.14)
  })

  it('hum: a line of its amplitude while the machine stands', () => {
    const line = lineWith([fault('mains-hum', 2)], { speed: 0 })
    line.run(1)
    // The sampled filter takes 1.4 % more off at 50 Hz than the one it stands for.
    const amplitude = Math.SQRT2 * deviation(line.watch(2, () => line.said().os))
    expect(amplitude).toBeGreaterThan(9.7)
    expect(amplitude).toBeLessThan(10.1)
  })

  it('drive interference: noise of its size while drives are enabled, none when not', () => {
    const line = lineWith([fault('drive-interference', 1)], { speed: 0 })
    line.run(1)
    const on = deviation(line.watch(10, () => line.said().os))
    expect(on).toBeGreaterThan(4)
    expect(on).toBeLessThan(6)
    const setTension = { [ZONE]: 250, 'edge-strip': 60 }
    line.machine.takeOver({ speed: 0, setTension, slack: false, driveEnabled: false })
    line.run(1)
    expect(deviation(line.watch(1, () => line.said().os))).toBeLessThan(0.01)
  })

  it('moisture: a zero that wanders by its size', () => {
    const line = lineWith([fault('moisture', 2, OS)], { speed: 0 })
    line.run(1)
    const wander: number[] = []
    for (let i = 0; i < 3000; i++) wander.push(line.run(5, 1).os - line.said().ds)
    expect(deviation(wander)).toBeGreaterThan(8)
    expect(deviation(wander)).toBeLessThan(12)
  })

  it('filters: a step rises in the time the fault says, and so many times slower on one side', () => {
    const step = fault('zero-wrong', 10, { onset: { kind: 'sudden', after_s: 1 } })
    const rise = (faults: ReturnType<typeof fault>[]) => {
      const line = lineWith([...faults, step])
      const start = line.run(0.9)
      const rows: { ds: number; os: number }[] = []
      line.watch(12, () => rows.push(line.said()))
      const time = (side: 'ds' | 'os') => rows.filter((row) => (row[side] - start[side]) / 50 < 0.9).length
      const early = (side: 'ds' | 'os') => rows.filter((row) => (row[side] - start[side]) / 50 < 0.1).length
      return { ds: (time('ds') - early('ds')) / 1000, os: (time('os') - early('os')) / 1000 }
    }
    const slower = rise([fault('filters-differ', 10, OS)])
    expect(slower.os / slower.ds).toBeGreaterThan(9)
    expect(slower.os / slower.ds).toBeLessThan(11)
    const heavy = rise([fault('filter-too-heavy', 3)])
    expect(heavy.ds).toBeCloseTo(3, 1)
    expect(heavy.os).toBeCloseTo(3, 1)
  })

  it('saturation: flat at the end of the range; coarse: whole steps; stuck: the same while the other side moves', () => {
    const flat = lineWith([fault('saturation', 100)])
    flat.run(1)
    expect(flat.state().cells.drive_side.saturated).toBe(true)
    const ripple = fault('neighbour-roller', 10)
    const coarse = lineWith([fault('coarse-resolution', 2), ripple])
    const steps = new Set(coarse.watch(3, () => coarse.said().os).map((value) => Math.round(value * 1e6) / 1e6))
    for (const value of steps) expect((value / 10) % 1).toBeCloseTo(0, 6)
    const stuck = lineWith([fault('stuck-value', 1, OS), ripple])
    expect(new Set(stuck.watch(2, () => stuck.said().os)).size).toBe(1)
    expect(new Set(stuck.watch(2, () => stuck.said().ds)).size).toBeGreaterThan(1000)
  })
})

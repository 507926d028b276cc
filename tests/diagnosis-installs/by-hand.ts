import type { ShiftAnalysis } from '../../shared/schemas/shift.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import type { TestValues } from '../../shared/schemas/verification.ts'
import type { Reading } from '../../simulator/technician/act.ts'
import type { SimulatedInstall } from './simulated-install.ts'
import { watchedHours } from './watched-hours.ts'

/** What a technician brings from a test: what was typed and what was captured. */
export interface Brought {
  readonly values: TestValues
  readonly captures: readonly Capture[]
  /** What was seen to move, where the test is one of hours. */
  readonly shift?: ShiftAnalysis
}

export type ByHand = (at: SimulatedInstall) => Brought

const SIDES = ['drive_side', 'operator_side'] as const

const typed = (values: TestValues): Brought => ({ values, captures: [] })
const taken = (captures: readonly Capture[], values: TestValues = {}): Brought => ({ values, captures })

function numberIn(readings: readonly Reading[], figure: string): number | undefined {
  const value = readings.find((one) => one.figure === figure)?.value
  return typeof value === 'number' ? value : undefined
}

/** An act on each side, its figures as fields. What showed no number is not typed. */
function onEachSide(act: string, fields: Readonly<Record<string, string>>): ByHand {
  return (at) => {
    at.bare()
    const entries = SIDES.flatMap((side) => {
      const readings = at.act(act, { side })
      return Object.entries(fields).flatMap(([field, figure]) => {
        const value = numberIn(readings, figure)
        return value === undefined ? [] : [[`${field}.${side}`, value] as const]
      })
    })
    return typed(Object.fromEntries(entries))
  }
}

/** Yes or no of each side, as an eye or a hand finds it. */
function seenOnEachSide(act: string, figures: readonly string[], more: TestValues = {}): ByHand {
  return (at) => {
    at.bare()
    const entries = SIDES.flatMap((side) => {
      const readings = at.act(act, { side })
      return figures.map((figure) => [
        `${figure}.${side}`,
        readings.find((one) => one.figure === figure)?.value === true,
      ])
    })
    return typed({ ...Object.fromEntries(entries), ...more })
  }
}

/** A direction in degrees from downstream, as the inclinometer's words have it. */
function inclined(side: string, degrees: number): TestValues {
  const [x, y] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
  const off = (Math.atan2(Math.abs(x), Math.abs(y)) * 180) / Math.PI
  return {
    [`deg.${side}`]: Number(off.toFixed(1)),
    [`pointing.${side}`]: Math.abs(y) < 1e-3 ? 'level' : y > 0 ? 'up' : 'down',
    [`leaning.${side}`]: Math.abs(x) < 1e-3 ? 'neither' : x > 0 ? 'downstream' : 'upstream',
  }
}

/** What each channel shows of a weight hung at mid-span, and with nothing on: operator over drive side, and each zero. */
function responses(at: SimulatedInstall): { readonly ratio: number; readonly offset: number } {
  const mean = (capture: Capture, side: (typeof SIDES)[number]) => capture.sides[side]?.electrical?.value ?? Number.NaN
  const bare = at.capture('bare', 3)
  at.act('hang-weight', { kg: Number((at.options.newtons / 9.81 / 2).toFixed(2)) })
  const loaded = at.capture('loaded', 3)
  at.act('take-weight-off')
  const of = (side: (typeof SIDES)[number]) => mean(loaded, side) - mean(bare, side)
  return {
    ratio: of('operator_side') / of('drive_side'),
    offset: mean(bare, 'operator_side') - mean(bare, 'drive_side'),
  }
}

/** A response that is off by less than this says nothing of where the fault sits (common practice). */
const CLEARLY_OFF = 0.03

type Responses = ReturnType<typeof responses>

/** Whether the odd response stayed with the channel or went with the cell; null where none is odd. */
function followed(before: Responses, after: Responses): 'channel' | 'cell' | null {
  const [was, is] = [Math.log(Math.abs(before.ratio)), Math.log(Math.abs(after.ratio))]
  if (!Number.isFinite(was) || !Number.isFinite(is) || Math.abs(was) < CLEARLY_OFF) return null
  // As large as before, on one channel or the other; what is not has wandered meanwhile.
  if (Math.abs(Math.abs(is) - Math.abs(was)) > Math.abs(was) / 2) return null
  return Math.abs(is - was) < Math.abs(is + was) ? 'channel' : 'cell'
}

const BRIDGE = { input: 385, output: 351 }
const SHUNT_KILOHM = 100

/** Warm running, s, and how much tighter the other product runs. */
const HOLD_S = 7200
const TIGHTER = 1.3

/** How each test is made at the simulated machine; what is not here cannot be made there within the hour. */
export const BY_HAND: Readonly<Partial<Record<TestId, ByHand>>> = {
  'fit.arrow-angle': (at) => {
    at.bare()
    const found = SIDES.map((side) => inclined(side, numberIn(at.act('measure-arrow', { side }), 'arrow-angle') ?? 0))
    return typed(Object.assign({}, ...found))
  },
  'fit.end-clearance': onEachSide('measure-clearance', { clearance: 'end-clearance' }),
  'fit.free-play': seenOnEachSide('check-free-play', ['free-play']),
  'fit.bushing': seenOnEachSide('look-at-fit', ['bushing-flush', 'bushing-split']),
  'fit.clamps': seenOnEachSide('look-at-fit', ['clamps-crosswise'], { 'weight-held': true }),
  'fit.bolts': seenOnEachSide('look-at-fit', ['bolts-tight']),
  'fit.cables': seenOnEachSide('look-at-fit', ['cables-seated']),
  'fit.nothing-touches': (at) => {
    const { values } = seenOnEachSide('look-at-fit', ['nothing-touches'])(at)
    return typed({ 'nothing-touches': Object.values(values).every((value) => value === true) })
  },
  'fit.spin-down': (at) => {
    at.bare()
    const readings = at.act('spin-down')
    const free = readings.find(({ figure }) => figure === 'spins-free')?.value === true
    return typed({ seconds: numberIn(readings, 'spin-down') ?? 0, free })
  },
  'fit.runout': (at) => {
    at.bare()
    return typed({ runout: numberIn(at.act('measure-runout'), 'runout') ?? 0 })
  },
  'electric.bridge': (at) => {
    const { values } = onEachSide('measure-bridge', { in: 'input-resistance', out: 'output-resistance' })(at)
    const certificates = SIDES.flatMap((side) => [
      [`in-certificate.${side}`, BRIDGE.input] as const,
      [`out-certificate.${side}`, BRIDGE.output] as const,
    ])
    return typed({ ...values, ...Object.fromEntries(certificates) })
  },
  'electric.insulation': onEachSide('measure-insulation', { insulation: 'insulation' }),
  'electric.excitation': (at) => {
    const { values } = onEachSide('measure-excitation', { 'at-cell': 'excitation' })(at)
    return typed({ ...values, wires: '4', set: 5 })
  },
  'electric.shunt': (at) => {
    at.bare()
    const captures: Capture[] = []
    const expected: Record<string, number> = {}
    for (const side of SIDES) {
      captures.push(at.capture(`without.${side}`, 5))
      const step = numberIn(at.act('connect-shunt', { side, kilohm: SHUNT_KILOHM }), 'shunt-step')
      if (step !== undefined) expected[`expected.${side}`] = step
      captures.push(at.capture(`with.${side}`, 5))
      at.act('disconnect-instruments')
    }
    return taken(captures, expected)
  },
  'electric.channels': (at) => {
    at.bare()
    return taken([at.capture('still', 20)])
  },
  'electric.gravity': (at) => {
    at.bare()
    at.act('lift-roller')
    const empty = at.capture('no-load', 6)
    at.act('set-down-roller')
    return taken([empty, at.capture('roller-on', 6)])
  },
  'electric.push': (at) => {
    at.bare()
    const newtons = 0.3 * at.options.newtons
    return taken(
      SIDES.map((side) => {
        const pushed = at.capture(
          `push.${side}`,
          6,
          {},
          { before: 2, run: () => at.act('push-end', { side, newtons }) },
        )
        at.act('let-go')
        return pushed
      }),
    )
  },
  'electric.cross-swap': (at) => {
    at.bare()
    const before = responses(at)
    at.act('swap-cables')
    const after = responses(at)
    at.act('swap-cables')
    const follows = followed(before, after)
    return typed(follows === null ? {} : { follows })
  },
  'electric.wiggle': (at) => {
    at.bare()
    for (const side of SIDES) at.act('wiggle-cable', { side })
    const moved = at.capture('wiggle', 20)
    at.act('let-go')
    return taken([moved])
  },
  'known-weight.series': (at) => {
    at.bare()
    const kg = Number((at.options.newtons / 9.81 / 2).toFixed(2))
    const points: [number, 'up' | 'down', number][] = [1, 2, 3].flatMap((cycle): [number, 'up' | 'down', number][] => [
      [0, 'up', cycle],
      [kg / 2, 'up', cycle],
      [kg, 'up', cycle],
      [kg / 2, 'down', cycle],
      [0, 'down', cycle],
    ])
    return taken(
      points.map(([mass, direction, cycle]) => {
        if (mass === 0) at.act('take-weight-off')
        else at.act('hang-weight', { kg: mass })
        return at.capture('point', 5, { mass, direction, cycle })
      }),
    )
  },
  'known-weight.off-centre': (at) => {
    at.bare()
    const mass = Number((at.options.newtons / 9.81 / 2).toFixed(2))
    const far = 200 * (at.machine.parameters.zones[at.context.zone.id]?.web.width ?? 1)
    const captures = [0, -far, far].map((position) => {
      at.act('hang-weight', { kg: mass, at_mm: position })
      return at.capture('place', 5, { position })
    })
    at.act('take-weight-off')
    return taken(captures, { mass })
  },
  'known-weight.two-directions': (at) => {
    at.bare()
    const kg = Number((at.options.newtons / 9.81 / 2).toFixed(2))
    const bare = at.capture('bare', 6)
    const along = (id: string, arriving: number, leaving: number) => {
      at.act('hang-weight', { kg, path: { arriving_deg: arriving, leaving_deg: leaving } })
      const taken_ = at.capture(id, 6, { arriving, leaving })
      at.act('take-weight-off')
      return taken_
    }
    return taken([bare, along('first', 0, -90), along('second', 90, -90)])
  },
  'running.path': (at) => {
    at.running()
    const seen = at.act('look-at-path').find(({ figure }) => figure === 'path-as-drawn')?.value === true
    return typed({ 'as-drawn': seen, ...(seen ? {} : { how: 'another way round' }) })
  },
  'running.points': (at) => {
    const { speedMMin, newtons } = at.options
    const points = [
      [speedMMin, newtons],
      [2 * speedMMin, newtons],
      [2 * speedMMin, 1.3 * newtons],
      [speedMMin, 1.3 * newtons],
    ]
    return taken(
      points.map(([speed, tension]) => {
        at.running(speed, tension)
        return at.capture('point', 20)
      }),
    )
  },
  'running.lines': (at) =>
    taken(
      [1, 2].map((times) => {
        at.running(times * at.options.speedMMin)
        return at.capture('line', 60)
      }),
    ),
  'running.step': (at) => {
    at.running()
    const to = 1.2 * at.options.newtons
    return taken([at.capture('step', 20, {}, { before: 6, run: () => at.setTension(to) })])
  },
  'warm.hold': (at) => {
    // Two tensions at different times tell what the ratio does apart from the zero.
    const { newtons } = at.options
    const shift = watchedHours(at, HOLD_S, (nth) => (nth % 2 === 0 ? newtons : TIGHTER * newtons))
    at.running()
    return { ...taken([at.capture('hold', 10)]), shift }
  },
  'warm.zero-return': (at) => {
    at.running(2 * at.options.speedMMin)
    at.wait(3600)
    at.bare()
    return taken([at.capture('zero', 10)])
  },
}

import { describe, expect, test } from 'vitest'
import { ZoneStage, zoneInputs } from '../../gateway/stages/zone-stage.ts'
import { ASSUMED, SET } from '../../lib/scale/default-uncertainty.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import type { QualityCode } from '../../shared/quality.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import type { GeometryConfigInput } from '../../shared/schemas/geometry.ts'
import { type ZoneNow, zoneNow } from '../../shared/schemas/now.ts'
import { configWith, HALF_TURN, roller, type ZoneInput } from '../geometry/configured.ts'
import { normal } from '../statistics/noise-sources.ts'
import { pairAt, sampleAt } from '../statistics/plant.ts'

const START = 1_000_000
interface Beside {
  speed?: number
  reference?: number | QualityCode
  neighbour?: number
}

function plant(zone: Partial<ZoneInput>) {
  const config = configSchema.parse(
    configWith({
      geometry: HALF_TURN,
      web_width_m: 1,
      web_offset_m: 0,
      speed: 'line-speed',
      reference: 'set',
      ...zone,
    }),
  )
  const [only] = config.zones
  if (only === undefined) throw new Error('the config has no zone')
  const stage = new ZoneStage(zoneInputs(config, only))
  const noise = normal(7)
  let tMs = START
  const run = (seconds: number, forces: (share: number) => readonly [number, number], beside: Beside = {}): void => {
    const { speed = 10, reference = 100, neighbour } = beside
    for (let i = 0; i < seconds * 100; i += 1) {
      tMs += 10
      const [drive, operator] = forces(i / (seconds * 100))
      stage.measure(
        pairAt(
          tMs,
          { drive: sampleAt(tMs, drive + 0.2 * noise()), operator: sampleAt(tMs, operator + 0.2 * noise()) },
          {
            speed: sampleAt(tMs, speed),
            reference: typeof reference === 'number' ? sampleAt(tMs, reference) : sampleAt(tMs, 0, reference),
            ...(neighbour === undefined ? {} : { neighbour: sampleAt(tMs, neighbour) }),
          },
        ),
        epochMs,
      )
    }
  }
  const now = (): ZoneNow =>
    stage.now({ now: () => monotonicMs(tMs), toEpoch: (t) => epochMs(t + 1_700_000_000_000) } as Parameters<
      typeof stage.now
    >[0])
  return { run, now, wait: (ms: number) => (tMs += ms) }
}

const sidesOf = (now: ZoneNow) => {
  if ('single' in now.sides) throw new Error('two sides were given')
  return now.sides
}
const both = (force: number) => () => [force, force] as const

describe('a zone held against its geometry', () => {
  const { run, now } = plant({})
  run(30, both(96))
  const picture = now()

  test('is a valid body of /api/zones/ID/now', () => expect(zoneNow.parse(picture)).toEqual(picture))

  test('expects twice the tension less m·v², half on each arrow (statics of a belt over a pulley)', () => {
    const { drive_side: drive, operator_side: operator } = sidesOf(picture)
    expect(drive.expected?.value).toBeCloseTo(96, 6)
    expect(operator.expected?.value).toBeCloseTo(96, 6)
    expect(picture.expected?.value).toBeCloseTo(100, 6)
    expect(picture.comparison).toMatchObject({ reference: 'channel', momentum: expect.closeTo(4, 6), candidates: [] })
    expect(picture.comparison?.wrap).toBeCloseTo(Math.PI, 9)
  })

  test('tells tension with the web’s momentum added: F/k + m·v²', () => {
    expect(picture.total.value).toBeCloseTo(100, 1)
    expect(sidesOf(picture).drive_side.tension?.value).toBeCloseTo(50, 1)
  })

  test('is inside, and says with what limit, budget and E_n', () => {
    const { agreement } = picture
    expect(agreement?.value).toBeCloseTo(0, 0)
    expect(agreement?.verdict.state).toBe('inside')
    expect(agreement?.limit?.half).toBeCloseTo(5, 1)
    expect(Math.abs(picture.comparison?.en ?? 9)).toBeLessThan(1)
    const lines = agreement?.why.inputs.slice(1) ?? []
    expect(lines[0]).toMatchObject({ name: 'tension', u: expect.closeTo(1, 3) })
    const sum = Math.hypot(...lines.map((line) => line.contribution ?? 0), agreement?.uRandom ?? 0)
    expect(sum).toBeCloseTo(agreement?.u ?? 0, 6)
  })

  test('tells what the channel should read: zero 0.28 mV/V plus 96 N over 250 N per mV/V', () => {
    expect(sidesOf(picture).drive_side.expectedSignal).toMatchObject({
      value: expect.closeTo(0.28 + 96 / 250, 6),
      unit: 'mV/V',
    })
  })
})

describe('where the uncertainty of an expected force is from', () => {
  const sourceOf = (figure: ZoneNow['expected'], name: string) =>
    figure?.why.inputs.find((input) => input.name === name)?.source
  const arrow = (zone: Partial<ZoneInput>) => {
    const { run, now } = plant(zone)
    run(12, both(96))
    return now()
  }

  test('the reference channel’s own is set; a drawing without uncertainties is assumed', () => {
    const picture = arrow({})
    expect(sourceOf(picture.agreement, 'tension')).toBe(SET)
    expect(sourceOf(picture.agreement, 'speed') ?? SET).toBe(SET)
    expect(sourceOf(sidesOf(picture).drive_side.tension, 'web path (wrap)')).toBe(ASSUMED)
    expect(sourceOf(sidesOf(picture).drive_side.tension, 'momentum of the web m·v²')).toBe(ASSUMED)
    expect(sourceOf(sidesOf(picture).drive_side.tension, 'gain of the drive side')).toBe(SET)
    expect(picture.agreement && 'assumed' in picture.agreement, 'the reference is the largest').toBe(false)
  })

  test('every line of the budget but the small ones together says it', () => {
    for (const { name, value, source } of arrow({}).agreement?.why.inputs.slice(1) ?? [])
      if (value !== null) expect([SET, ASSUMED], name).toContain(source)
  })

  test('a typed tension without an uncertainty is assumed and marks what rests on it', () => {
    const picture = arrow({ reference: undefined })
    expect(sourceOf(picture.agreement, 'tension')).toBe(ASSUMED)
    expect(picture.agreement?.assumed).toBe(true)
    expect(picture.expected?.assumed).toBe(true)
    const given = arrow({ reference: undefined, geometry: { ...HALF_TURN, uncertainty: { tension_percent: 1 } } })
    expect(sourceOf(given.agreement, 'tension')).toBe(SET)
    expect(given.agreement && 'assumed' in given.agreement).toBe(false)
    expect(given.agreement?.u).toBeCloseTo(picture.agreement?.u ?? 0, 1)
  })
})

test('a web that pulls against both arrows is outside what is expected of it, and its drift is not followed', () => {
  const { run, now } = plant({ average_s: 10, drift_s: 60 })
  run(30, both(-96))
  expect(now().agreement?.verdict.state).toBe('outside')
  expect(now().driftOfResidual?.waiting).toMatch(/^Both sides pull away from their arrows: check arrow direction/)
  expect(now().imbalance?.verdict.state).toBe('unknown')
})

test('the expected force follows the speed by m·v²: at 20 m/s it is 16 N', () => {
  const { run, now } = plant({})
  run(30, both(84), { speed: 20 })
  expect(sidesOf(now()).operator_side.expected?.value).toBeCloseTo(84, 6)
  expect(now().agreement?.verdict.state).toBe('inside')
  expect(now().total.value).toBeCloseTo(100, 1)
})

test('the expected force follows the reference', () => {
  const { run, now } = plant({})
  run(30, both(146), { reference: 150 })
  expect(sidesOf(now()).drive_side.expected?.value).toBeCloseTo(146, 6)
  expect(now().agreement?.verdict.state).toBe('inside')
})

test('outside, it names the other web path that would make the ratio', () => {
  // Pull roller passed on the other side: equal circles, so the span runs along their centres, (0.2, −0.3) m, and
  // a·(u_out − u_in) is 1 + 0.3/√(0.2² + 0.3²) = 1.8321 instead of 2.
  const ratio = (1 + 0.3 / Math.hypot(0.2, 0.3)) / 2
  const { run, now } = plant({})
  run(30, both(96 * ratio))
  const picture = now()
  expect(picture.agreement?.verdict.state).toBe('outside')
  expect(picture.comparison?.percent).toBeCloseTo(100 * 0.96 * (ratio - 1), 0)
  expect(picture.comparison?.candidates[0]).toMatchObject({
    words: 'pull roller passed on the other side',
    ratio: { drive_side: expect.closeTo(ratio, 9), operator_side: expect.closeTo(ratio, 9) },
  })
})

test('nobody offers another path for a fault of one side alone', () => {
  const { run, now } = plant({})
  run(30, () => [96, 70])
  expect(sidesOf(now()).operator_side.agreement?.verdict.state).toBe('outside')
  expect(now().comparison?.candidates).toEqual([])
})

describe('without good data nothing is inside', () => {
  test('a bad reference is no reference, though a usual tension was typed', () => {
    const { run, now } = plant({})
    run(10, both(96), { reference: 'wire-break' })
    const { agreement, expected, total } = now()
    expect(agreement).toMatchObject({ value: null, verdict: { state: 'unknown' } })
    expect(agreement?.waiting).toBe('The reference gives no good sample.')
    expect(expected?.value).toBeNull()
    expect(total.value).toBeCloseTo(100, 0)
  })

  test('a reference that goes bad makes a told agreement unknown at once', () => {
    const { run, now } = plant({})
    run(20, both(96))
    expect(now().agreement?.verdict.state).toBe('inside')
    run(0.05, both(96), { reference: 'wire-break' })
    expect(now().agreement).toMatchObject({ value: null, verdict: { state: 'unknown' } })
  })

  test('cells that fall silent', () => {
    const { run, now, wait } = plant({})
    run(20, both(96))
    wait(5000)
    expect(now().agreement).toMatchObject({ value: null, verdict: { state: 'unknown' } })
    expect(sidesOf(now()).drive_side.agreement?.value).toBeNull()
  })
})

describe('a typed set value', () => {
  const { run, now } = plant({ reference: undefined })
  run(30, both(96))

  test('stands for the tension, is marked as typed, and its uncertainty is the config’s 1 %', () => {
    expect(now().comparison?.reference).toBe('typed')
    expect(now().agreement?.verdict.state).toBe('inside')
    expect(now().agreement?.why.inputs.find(({ name }) => name === 'tension')?.u).toBeCloseTo(1, 9)
  })

  test('tells no drift of the residual: it does not follow the machine', () => {
    expect(now().driftOfResidual?.waiting).toContain('needs a reference channel')
  })
})

describe('drift of measured less expected', () => {
  const zone = { average_s: 10, drift_s: 60 }

  test('is outside 0.3 %/h for a residual that runs away, though the tension stands', () => {
    const { run, now } = plant(zone)
    // 1 N of 96 in a minute is 62 %/h.
    run(60, (share) => [96 + share, 96 + share])
    expect(now().driftOfResidual?.value).toBeCloseTo((60 * 100) / 96, 0)
    expect(now().driftOfResidual?.verdict.state).toBe('outside')
  })

  test('is none where measured and expected move together', () => {
    const { run, now } = plant({ ...zone, steady: { speed_percent: 90, reference_percent: 90 } })
    for (let i = 0; i < 60; i += 1) run(1, both(96 + i / 60), { reference: 100 + i / 60 })
    const { value, U } = now().driftOfResidual ?? { value: null, U: null }
    expect(Math.abs(value ?? 99)).toBeLessThan((U ?? 0) + 1)
  })
})

describe('a winding roll that grows', () => {
  // Passed on the outside, the span to it turns as it grows; the force factor must follow.
  const geometry: GeometryConfigInput = {
    ...HALF_TURN,
    moving: { kind: 'winding-roll', at: 'after', core_diameter_mm: 100, full_diameter_mm: 300 },
  }

  test('moves the force factor with its diameter: span along the tangent of both circles', () => {
    const { run, now } = plant({ geometry, neighbour: 'roll' })
    // Internal tangent of radii 0.1 and 0.05 at a distance of √0.13 m: sin of its angle to the line of centres is
    // 0.15/√0.13; that line points atan2(−0.3, 0.2). k = 1 − sin(span angle).
    const distance = Math.hypot(0.2, 0.3)
    const angle = Math.atan2(-0.3, 0.2) - Math.asin(0.15 / distance)
    const k = 1 - Math.sin(angle)
    run(30, both((k * 96) / 2), { neighbour: 0.1 })
    expect(sidesOf(now()).drive_side.expected?.value).toBeCloseTo((k * 96) / 2, 6)
    expect(now().agreement?.verdict.state).toBe('inside')
    expect(now().total.value).toBeCloseTo(100, 0)
  })

  test('grows through the window: the tension is the web’s own, and expected and wrap are of the mean diameter', () => {
    // Three rollers that turn one way; to a core of the measuring roller's radius the web leaves along the centre line.
    const outside = (name: string, x: number, y: number) => ({ ...roller(name, x, y, 'clockwise'), diameter_mm: 160 })
    const { run, now } = plant({
      geometry: {
        ...geometry,
        rollers: {
          before: [outside('last idler but one', -800, -600)],
          measuring: outside('measuring roller', 0, 0),
          after: [outside('winding roll', 480, -640)],
        },
        moving: { kind: 'winding-roll', at: 'after', core_diameter_mm: 160, full_diameter_mm: 1120 },
      },
      neighbour: 'roll',
    })
    // Web arrives along (0.8, 0.6); the external tangent turns by asin((R − r)/D), D = 0.8 m. Arrows straight down.
    const leaves = (radius: number) => Math.atan2(-0.64, 0.48) + Math.asin((radius - 0.08) / 0.8)
    const factor = (radius: number) => 0.6 - Math.sin(leaves(radius))
    const radius = (share: number) => 0.08 + 0.12 * share
    for (let step = 0; step < 300; step += 1)
      run(0.1, both((factor(radius(step / 300)) * 96) / 2), { neighbour: 2 * radius(step / 300) })
    const { total, comparison, agreement, sides } = now()
    // The force factor fell by 7 % meanwhile; its newest value alone would put the tension 3 N too high.
    expect(factor(0.2) / factor(0.08)).toBeLessThan(0.94)
    expect(Math.abs((total.value ?? 0) - 100)).toBeLessThan(0.3)
    expect(comparison?.wrap).toBeCloseTo(Math.atan2(0.6, 0.8) - leaves(0.14), 3)
    expect(sides).toMatchObject({ drive_side: { expected: { value: expect.closeTo((factor(0.14) * 96) / 2, 1) } } })
    expect(agreement?.verdict.state).toBe('inside')
    expect(Math.abs(agreement?.value ?? 9)).toBeLessThan(0.3)
  })

  test('that gives way to a bare core begins every window anew: no figure mixes the two rolls', () => {
    const { run, now } = plant({ geometry, neighbour: 'roll' })
    run(30, both(90), { neighbour: 0.3 })
    run(1, both(110), { neighbour: 0.1 })
    expect(now().steady.sentence).toContain('the roll beside the measuring roller was changed')
    run(20, both(110), { neighbour: 0.1 })
    const { drive_side: drive } = sidesOf(now())
    expect(drive.force.value).toBeCloseTo(110, 0)
    expect(drive.force.window?.seconds).toBeLessThan(21.5)
    // A sensor that wanders, or a roll that grows, is no change.
    run(20, (share) => [110 - share, 110 - share], { neighbour: 0.115 })
    expect(now().steady.forSeconds).toBeGreaterThan(40)
  })
})

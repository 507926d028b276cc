import { describe, expect, it } from 'vitest'
import { Machine } from '../../../simulator/physics/machine.ts'
import { RandomStream } from '../../../simulator/physics/random.ts'
import { demo } from '../../../simulator/scenarios/demo.ts'
import { Bench, type BenchParts } from '../../../simulator/technician/bench.ts'
import { ACTS, type ActId } from '../../../simulator/technician/registry.ts'
import { ZONE } from './at-the-line.ts'

const SEEDS = 1000

interface Measured {
  readonly act: ActId
  readonly figure: string
  readonly unit: string
  /**
   * Puts a truth into the parameters, another for each x in [0, 1), and says by hand arithmetic what should be read:
   * spread over more than a step of the scale, because how a step covers hangs on where within it the truth lies.
   */
  truth(bench: Bench, x: number): number
}

/** One machine serves all: what is read is put into its parameters. */
function benchAt(): Omit<BenchParts, 'random'> {
  const machine = new Machine(demo.parameters(), demo.programme, 1)
  const locks = { lockedOut: true, guards: 'open' } as const
  return { machine, zone: ZONE, locks: { ...locks }, sound: demo.parameters(), pass: () => undefined }
}

const cellOf = (bench: Bench) => bench.parameters.cells.drive_side

const MEASURED: readonly Measured[] = [
  {
    act: 'measure-arrow',
    figure: 'arrow-angle',
    unit: '°',
    truth(bench, x) {
      cellOf(bench).arrow = ((-92 + x) * Math.PI) / 180
      return -92 + x
    },
  },
  {
    act: 'measure-clearance',
    figure: 'end-clearance',
    unit: 'mm',
    truth(bench, x) {
      bench.fit.ends.drive_side.clearance = 0.0015 + x * 0.0005
      return 1.5 + 0.5 * x
    },
  },
  {
    act: 'measure-bridge',
    figure: 'input-resistance',
    unit: 'Ω',
    truth(bench, x) {
      cellOf(bench).inputResistance = 400 + x
      return 400 + x
    },
  },
  {
    act: 'measure-bridge',
    figure: 'output-resistance',
    unit: 'Ω',
    truth(bench, x) {
      cellOf(bench).outputResistance = 350 + x
      return 350 + x
    },
  },
  {
    act: 'measure-insulation',
    figure: 'insulation',
    unit: 'MΩ',
    truth(bench, x) {
      cellOf(bench).insulation = 3e6 + x * 1e6
      return 3 + x
    },
  },
  {
    act: 'measure-excitation',
    figure: 'excitation',
    unit: 'V',
    truth(bench, x) {
      cellOf(bench).leadLoss = x * 0.02
      return 5 * (1 - x * 0.02)
    },
  },
  {
    act: 'measure-level',
    figure: 'level',
    unit: 'mm/m',
    truth(bench, x) {
      bench.fit.level = 0.0003 + x * 0.0002
      return 0.3 + 0.2 * x
    },
  },
  {
    act: 'measure-runout',
    figure: 'runout',
    unit: 'mm',
    // The ripple over 4.5 m of 1.3 m web of 130 kN/m: N/(EA/L) off centre, twice that on the dial.
    truth(bench, x) {
      bench.parameters.roller.runout.amplitude = 1 + x
      return (2 * (1 + x) * 4.5 * 1000) / (130_000 * 1.3)
    },
  },
  {
    act: 'measure-web-position',
    figure: 'web-offset',
    unit: 'mm',
    truth(bench, x) {
      Object.assign(bench.parameters.web, { offset: 0.01 + x * 0.003, wander: 0 })
      bench.machine.step(0.001)
      return 10 + 3 * x
    },
  },
  {
    act: 'spin-down',
    figure: 'spin-down',
    unit: 's',
    // J ω/M: 0.07 kg·m² at one turn a second.
    truth(bench, x) {
      bench.parameters.roller.dragTorque = 0.05 + 0.01 * x
      return (0.07 * 2 * Math.PI) / (0.05 + 0.01 * x)
    },
  },
]

describe('readings', () => {
  it.each(MEASURED)(
    '$figure: the truth lies within k = 2 in about 95 of 100 readings',
    ({ act, figure, truth, unit }) => {
      const parts = benchAt()
      const truths = new RandomStream(1, figure)
      let inside = 0
      for (let seed = 1; seed <= SEEDS; seed++) {
        const bench = new Bench({ ...parts, random: new RandomStream(seed, figure) })
        const is = truth(bench, truths.uniform())
        const args = ACTS[act].args.parse('side' in ACTS[act].args.shape ? { side: 'drive_side' } : {})
        const reading = run(bench, act, args).readings.find((candidate) => candidate.figure === figure)
        if (reading === undefined || typeof reading.value !== 'number' || reading.u === null) throw new Error(figure)
        expect(reading.unit).toBe(unit)
        expect(reading.u).toBeGreaterThan(0)
        if (Math.abs(reading.value - is) <= 2 * reading.u) inside += 1
      }
      console.log(`${figure}: ${((100 * inside) / SEEDS).toFixed(1)} % within k = 2`)
      // A binomial 95.4 % of 1000 has σ = 0.66 %; a rectangle from the step covers a little more than a normal.
      expect(inside / SEEDS).toBeGreaterThan(0.93)
      expect(inside / SEEDS).toBeLessThan(0.985)
    },
  )

  it('every act that measures is held to this', () => {
    const measuring = Object.values(ACTS)
      .map(({ id }) => id)
      .filter((id) => /^(measure|spin)-/.test(id))
    const held = new Set<string>(MEASURED.map(({ act }) => act))
    expect(measuring.filter((id) => !held.has(id))).toEqual([])
  })
})

function run(bench: Bench, id: ActId, args: unknown) {
  const { run } = ACTS[id] as { run(bench: Bench, args: unknown): ReturnType<(typeof ACTS)['stop']['run']> }
  return run(bench, args)
}

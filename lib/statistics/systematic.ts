import type { CellOptions, ZoneStatisticsOptions } from './zone-statistics-options.ts'

/** A quantity that went into a figure, and what its uncertainty does to the figure. */
export interface UncertaintyInput {
  readonly name: string
  readonly value: number | null
  readonly unit: string
  /** Standard uncertainty of the input, in its unit; null when it has none (a count, a choice). */
  readonly u: number | null
  /** |∂figure/∂input| · u, in the figure's unit. */
  readonly contribution: number
  /** Where u came from; absent where there is nothing to tell. */
  readonly source?: string
}

export const SIDE_NAMES = { drive_side: 'drive side', operator_side: 'operator side', single: 'cell' } as const

/** The part of an input that says where its uncertainty came from. */
export const from = (source: string | undefined): Pick<UncertaintyInput, 'source'> =>
  source === undefined ? {} : { source }

type FactorUncertainty = Pick<ZoneStatisticsOptions, 'forceFactorU' | 'forceFactorSource'>

/** Where a figure depends on one side's force: ∂figure/∂F, at the force F. */
export interface SideTerm {
  readonly cell: CellOptions
  readonly forceN: number
  /** Figure's unit per newton along the arrow. */
  readonly sensitivity: number
}

/**
 * What no averaging removes, for a figure that depends on the sides' forces: gain, zero and resolution of each
 * cell, none correlated with another (JCGM 100, 5.1.2). F = gain × (reading − zero), so the gain counts with F
 * and the zero with 1; one step of the raw value is a rectangle of that width (JCGM 100, F.2.2.1).
 */
export function cellInputs(terms: readonly SideTerm[]): UncertaintyInput[] {
  return terms.flatMap(({ cell, forceN, sensitivity }) => {
    const of = `of the ${SIDE_NAMES[cell.side]}`
    const perN = Math.abs(sensitivity)
    const inputs: UncertaintyInput[] = [
      {
        name: `gain ${of}`,
        value: 100,
        unit: '%',
        u: 100 * cell.gainU,
        contribution: perN * Math.abs(forceN) * cell.gainU,
        ...from(cell.gainSource),
      },
      {
        name: `zero ${of}`,
        value: 0,
        unit: 'N',
        u: cell.zeroUN,
        contribution: perN * cell.zeroUN,
        ...from(cell.zeroSource),
      },
    ]
    if (cell.stepN > 0) {
      const u = cell.stepN / Math.sqrt(12)
      inputs.push({ name: `resolution ${of}`, value: cell.stepN, unit: 'N', u, contribution: perN * u })
    }
    return inputs
  })
}

/**
 * The force factor of each side as an input of its own, for a figure that compares the sides: an arrow that is
 * off on one side is not seen by the other. Sides without a factor give none. Where a geometry tells the factor, what
 * counts here is the side's own arrow (`ownFactorU`): the web path is common to both.
 */
export function separateFactorInputs(terms: readonly SideTerm[], factor: FactorUncertainty): UncertaintyInput[] {
  const { forceFactorU: factorU, forceFactorSource } = factor
  return terms.flatMap(({ cell, forceN, sensitivity }) =>
    cell.forceFactor === null
      ? []
      : [
          {
            name: `${cell.ownFactorU === undefined ? 'force factor' : 'arrow'} of the ${SIDE_NAMES[cell.side]}`,
            value: cell.forceFactor,
            unit: '1',
            u: Math.abs(cell.forceFactor) * (cell.ownFactorU ?? factorU),
            contribution: Math.abs(sensitivity * forceN) * (cell.ownFactorU ?? factorU),
            ...from(cell.ownFactorU === undefined ? forceFactorSource : cell.ownFactorSource),
          },
        ],
  )
}

/** One force factor that serves both sides: it moves a total as a whole. */
export function commonFactorInput(
  factor: number,
  { forceFactorU: factorU, forceFactorSource }: FactorUncertainty,
  figure: number,
): UncertaintyInput {
  return {
    name: 'force factor',
    value: factor,
    unit: '1',
    u: Math.abs(factor) * factorU,
    contribution: Math.abs(figure) * factorU,
    ...from(forceFactorSource),
  }
}

import { type QualityCode, qualityFromByte } from '../../shared/quality.ts'
import type { SampleBlock } from '../recorder/read-samples.ts'
import type { ExportColumn } from './export-facts.ts'

/** One column of a block under its place in the file: NaN and `missing` throughout where the block has none. */
export interface PlacedColumn {
  value(row: number): number
  quality(row: number): QualityCode
}

const ABSENT: PlacedColumn = { value: () => Number.NaN, quality: () => 'missing' }

/** The block's columns in the order of the file; revisions may have had others, or in another order. */
export function placed(columns: readonly ExportColumn[], block: SampleBlock): PlacedColumn[] {
  return columns.map(({ name }) => {
    const at = block.columns.findIndex(({ role }) => role === name)
    const values = block.values[at]
    const codes = block.codes[at]
    if (values === undefined || codes === undefined) return ABSENT
    return {
      value: (row) => values[row] ?? Number.NaN,
      quality: (row) => qualityFromByte(codes[row] ?? 255),
    }
  })
}

import type { ZoneSpectrum } from '../../../shared/schemas/spectrum.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'

/** So many of each side, the largest. */
const MOST_LINES = 12

/** Lines of a spectrum as a record keeps them: of the sides, with who could make them. */
export function linesOf(spectrum: ZoneSpectrum): Capture['lines'] {
  return (['drive_side', 'operator_side', 'single'] as const).flatMap((side) => {
    const signal = spectrum.signals[side]
    if (signal?.state !== 'told') return []
    return signal.lines
      .flatMap(({ frequencyHz, amplitude, U, candidates }) =>
        amplitude === null || U === null
          ? []
          : [
              {
                side,
                hertz: frequencyHz,
                amplitude,
                u: U / 2,
                sources: candidates.map(({ kind, words }) => `${kind}: ${words}`),
              },
            ],
      )
      .toSorted((a, b) => b.amplitude - a.amplitude)
      .slice(0, MOST_LINES)
  })
}

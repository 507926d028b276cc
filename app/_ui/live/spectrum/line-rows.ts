import type { LineCandidate, SpectralLineView, SpectrumSignal } from '../../../../shared/schemas/spectrum.ts'
import type { ToldSignal } from './signals.ts'

/** One place in the spectrum where at least one signal has a line. */
export interface LineRow {
  /** Counted from the slowest, as on the picture. */
  readonly number: number
  readonly frequencyHz: number
  readonly U_Hz: number
  readonly order: number | null
  readonly lines: Readonly<Partial<Record<SpectrumSignal, SpectralLineView>>>
  /** Of all its lines, each once, nearest first. */
  readonly candidates: readonly LineCandidate[]
}

/** Lines of several signals by place: what lies within one resolution is one row; each signal has one line in it. */
export function lineRows(told: readonly ToldSignal[]): LineRow[] {
  const all = told
    .flatMap(({ signal, view }) => view.lines.map((line) => ({ signal, line, within: view.resolutionHz })))
    .sort((a, b) => a.line.frequencyHz - b.line.frequencyHz)
  const groups: (typeof all)[] = []
  for (const one of all) {
    const group = groups.at(-1)
    const first = group?.[0]
    const isSame =
      first !== undefined &&
      one.line.frequencyHz - first.line.frequencyHz <= first.within &&
      !group?.some(({ signal }) => signal === one.signal)
    if (isSame) group?.push(one)
    else groups.push([one])
  }
  return groups.map((group, i) =>
    rowOf(
      i + 1,
      group.map(({ signal, line }) => [signal, line] as const),
    ),
  )
}

function rowOf(number: number, lines: readonly (readonly [SpectrumSignal, SpectralLineView])[]): LineRow {
  // The best known place stands for all.
  const best = lines.map(([, line]) => line).reduce((a, b) => (b.U_Hz < a.U_Hz ? b : a))
  const candidates = new Map<string, LineCandidate>()
  for (const [, line] of lines)
    for (const one of line.candidates) if (!candidates.has(one.words)) candidates.set(one.words, one)
  const apart = ({ seenHz }: LineCandidate) => Math.abs(seenHz - best.frequencyHz)
  return {
    number,
    frequencyHz: best.frequencyHz,
    U_Hz: best.U_Hz,
    order: best.order,
    lines: Object.fromEntries(lines),
    candidates: [...candidates.values()].sort((a, b) => apart(a) - apart(b)),
  }
}

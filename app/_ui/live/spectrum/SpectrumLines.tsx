import type { LineCandidate, SpectralLineView } from '../../../../shared/schemas/spectrum.ts'
import { SI_CHOICE } from '../../../../shared/unit-choice.ts'
import { formatFigure, formatNumber, formatTrimmed, NBSP } from '../../format.ts'
import { useUnits } from '../../units.tsx'
import { WideBox } from '../../WideBox.tsx'
import type { LineRow } from './line-rows.ts'
import styles from './Spectrum.module.css'
import { SIGNALS, type ToldSignal } from './signals.ts'

/** The lines as a table: where, how strong on each signal, and everything that could make them. */
export function SpectrumLines({
  told,
  rows,
  limit,
}: {
  readonly told: readonly ToldSignal[]
  readonly rows: readonly LineRow[]
  readonly limit: number
}) {
  return (
    <div className={styles.lines}>
      <WideBox label="Lines of the spectrum">
        <table className={styles.table} data-testid="spectrum-lines">
          <thead>
            <tr>
              <th scope="col">Line</th>
              <th scope="col">Turns</th>
              {told.map(({ signal }) => (
                <th key={signal} scope="col">
                  {SIGNALS[signal].title}
                </th>
              ))}
              <th scope="col">Could be</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <Row key={row.number} row={row} told={told} />
            ))}
            {told.length > 0 && rows.length === 0 && (
              <tr>
                <td colSpan={3 + told.length}>No line stands out of the noise.</td>
              </tr>
            )}
          </tbody>
        </table>
      </WideBox>
      <p className={styles.soft}>
        Amplitude is half the peak to peak, along the arrow, as the amplifier hands it over; ± at about 95{NBSP}%. A
        line is shown when noise alone would show one as high in fewer than 1 of {Math.round(1 / limit)} spectra.
        Sources are possibilities, none is claimed.
      </p>
    </div>
  )
}

function Row({ row, told }: { readonly row: LineRow; readonly told: readonly ToldSignal[] }) {
  return (
    <tr>
      <th scope="row">
        <b>{row.number}</b> {formatFigure(row.frequencyHz, row.U_Hz, 'Hz', SI_CHOICE).text}
      </th>
      <td data-of="turns">{row.order === null ? 'not known' : formatNumber(row.order, 2)}</td>
      {told.map(({ signal }) => (
        <td key={signal} data-of={SIGNALS[signal].name}>
          <Amplitude line={row.lines[signal]} />
        </td>
      ))}
      <td data-of="could be">
        {row.candidates.length === 0 ? 'no source known here' : row.candidates.map(candidateInWords).join('; or ')}
      </td>
    </tr>
  )
}

function Amplitude({ line }: { readonly line: SpectralLineView | undefined }) {
  const units = useUnits()
  if (line === undefined) return 'not above its noise'
  if (line.amplitude === null) return 'cannot be told so near half the sampling rate'
  return `${units.figure(line.amplitude, line.U, 'N').text}${line.smeared ? ', smeared: too small' : ''}`
}

function candidateInWords({ words, folded, frequencyHz }: LineCandidate): string {
  return folded ? `${words}, folded down from ${formatTrimmed(Number(frequencyHz.toPrecision(3)))}${NBSP}Hz` : words
}

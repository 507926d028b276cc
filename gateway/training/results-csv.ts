import type { TrainingFinding, TrainingResult } from '../../shared/schemas/training.ts'
import { asNoFormula } from '../export/formula.ts'

const COLUMNS: readonly (readonly [name: string, of: (result: TrainingResult) => string | number | boolean | null])[] =
  [
    ['exercise', ({ exercise }) => exercise],
    ['trainee', ({ trainee }) => trainee],
    ['kind', ({ kind }) => kind],
    ['lesson', ({ lesson }) => lesson],
    ['level', ({ level }) => level],
    ['line', ({ line }) => line],
    ['started', ({ startedMs }) => new Date(startedMs).toISOString()],
    ['ended', ({ endedMs }) => new Date(endedMs).toISOString()],
    ['how', ({ ended }) => ended],
    ['truth', ({ truth }) => named(truth)],
    ['answer', ({ answer }) => (answer === null ? null : named(answer))],
    ['found', ({ found }) => found],
    ['points', ({ points }) => points],
    ['points_most', ({ most }) => most],
    ['seconds', ({ seconds }) => Math.round(seconds)],
    ['shortest_seconds', ({ shortestSeconds }) => (shortestSeconds === null ? null : Math.round(shortestSeconds))],
    ['unsafe', ({ unsafe }) => unsafe],
    ['refused', ({ refused }) => refused],
    ['hints', ({ hints }) => hints],
    ['changes_by_instructor', ({ changes }) => changes],
  ]

/** Results as CSV (RFC 4180, UTF-8, CRLF), a row an exercise; an empty cell is unknown or not there. */
export function resultsCsv(results: readonly TrainingResult[]): string {
  const rows = [COLUMNS.map(([name]) => name), ...results.map((result) => COLUMNS.map(([, of]) => of(result)))]
  return rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('')
}

function named(findings: readonly Pick<TrainingFinding, 'cause' | 'zone' | 'side'>[]): string {
  if (findings.length === 0) return 'nothing is wrong'
  return findings
    .map(({ cause, zone, side }) => [cause, zone, side].filter((part) => part !== null).join(' '))
    .join('; ')
}

/** RFC 4180: in quotes where it has a comma, a quote or a line break. */
function cell(value: string | number | boolean | null): string {
  if (typeof value !== 'string') return value === null ? '' : String(value)
  const plain = asNoFormula(value)
  return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain
}

import { REGISTER_ORDERS } from '../../shared/schemas/config/channel.ts'
import type { RegisterRow, RegisterView } from '../../shared/schemas/register-view.ts'
import { columns } from './table.ts'

const WIDE_TYPES = ['float32', 'int32', 'uint32'] as const

/**
 * A register range for a terminal: the 16-bit readings in one table, then a table for each 32-bit
 * type with its four orders side by side. A reading that is none is a dash.
 */
export function registerTables(view: RegisterView): string[] {
  const kind = view.function === 3 ? 'holding' : 'input'
  const last = view.address + view.count - 1
  return [
    `${view.device}, unit ${view.unitId}, function ${view.function}: ${kind} registers ${view.address} to ${last}, ` +
      `answered in ${view.roundTripMs.toFixed(1)} ms`,
    ...section('16 bits; swapped: low byte first', narrowTable(view.rows)),
    ...WIDE_TYPES.flatMap((type) => section(`${type}, from this register and the next`, wideTable(view.rows, type))),
  ]
}

const section = (title: string, rows: readonly string[][]) => [
  '',
  title,
  ...columns(
    rows,
    rows[0]?.map(() => true),
  ),
]

function narrowTable(rows: readonly RegisterRow[]): string[][] {
  const head = ['offset', 'notation', 'hex', 'int16', 'uint16', 'int16 swapped', 'uint16 swapped']
  const body = rows.map((row) => [
    String(row.address),
    row.notation,
    row.hex,
    ...[row.int16, row.uint16, row.int16Swapped, row.uint16Swapped].map(String),
  ])
  return [head, ...body]
}

function wideTable(rows: readonly RegisterRow[], type: (typeof WIDE_TYPES)[number]): string[][] {
  const body = rows
    .slice(0, -1)
    .map((row) => [String(row.address), row.notation, ...REGISTER_ORDERS.map((order) => shown(row[type][order], type))])
  return [['offset', 'notation', ...REGISTER_ORDERS], ...body]
}

/** A float32 holds about seven digits; more would be noise, and zeros behind them a pretence. */
function shown(value: number | null, type: (typeof WIDE_TYPES)[number]): string {
  if (value === null) return '–'
  if (type !== 'float32') return String(value)
  const amount = Math.abs(value)
  return amount >= 1e7 || (amount > 0 && amount < 1e-4) ? value.toExponential(6) : String(Number(value.toPrecision(7)))
}

import { REGISTER_ORDERS } from '../../../shared/schemas/config/channel.ts'
import type { RegisterOrder, RegisterType } from '../../../shared/schemas/config.ts'
import type { RegisterRow, RegisterView } from '../../../shared/schemas/register-view.ts'
import { isPlausible, tableFloat32, wholeNumber } from './plausible.ts'
import styles from './RegisterViewer.module.css'
import type { RegisterUse } from './usage.ts'

/** One way of reading a register, as a column. */
interface ReadingColumn {
  readonly type: RegisterType
  readonly order: RegisterOrder
  readonly title: string
  readonly value: (row: RegisterRow) => number | null
}

const SIXTEEN: readonly ReadingColumn[] = [
  { type: 'int16', order: 'ABCD', title: 'signed', value: (row) => row.int16 },
  { type: 'uint16', order: 'ABCD', title: 'unsigned', value: (row) => row.uint16 },
  { type: 'int16', order: 'BADC', title: 'signed, bytes swapped', value: (row) => row.int16Swapped },
  { type: 'uint16', order: 'BADC', title: 'unsigned, bytes swapped', value: (row) => row.uint16Swapped },
]

function inOrders(type: 'float32' | 'int32' | 'uint32'): ReadingColumn[] {
  return REGISTER_ORDERS.map((order) => ({ type, order, title: order, value: (row) => row[type][order] }))
}

const GROUPS: readonly { readonly title: string; readonly columns: readonly ReadingColumn[] }[] = [
  { title: '16 bit', columns: SIXTEEN },
  { title: '32-bit float, with the next register', columns: inOrders('float32') },
  { title: '32-bit signed, with the next', columns: inOrders('int32') },
  { title: '32-bit unsigned, with the next', columns: inOrders('uint32') },
]
const COLUMNS = GROUPS.flatMap((group) => group.columns)

export interface Pick {
  readonly address: number
  readonly type: RegisterType
  readonly order: RegisterOrder
}

export interface RegisterTableProps {
  readonly view: RegisterView
  readonly uses: ReadonlyMap<number, readonly RegisterUse[]>
  readonly isPolled: (address: number) => boolean
  readonly picked: Pick | null
  readonly onPick: (pick: Pick) => void
}

/** Every register in every type and order. Scrolls in its own region, the address staying in sight. */
export function RegisterTable({ view, uses, isPolled, picked, onPick }: RegisterTableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className={styles.scroll} aria-label="Registers in every type and order" tabIndex={0}>
      <table className={styles.table} data-testid="register-table">
        <thead>
          <tr>
            <th scope="col" rowSpan={2} className={styles.address}>
              Address
            </th>
            <th scope="col" rowSpan={2}>
              Used by
            </th>
            <th scope="col" rowSpan={2}>
              Hex
            </th>
            {GROUPS.map((group) => (
              <th key={group.title} scope="colgroup" colSpan={group.columns.length} className={styles.group}>
                {group.title}
              </th>
            ))}
          </tr>
          <tr>
            {COLUMNS.map((column) => (
              <th key={`${column.type} ${column.title}`} scope="col" className={groupEdge(column)}>
                {column.title}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {view.rows.map((row) => (
            <RegisterLine
              key={row.address}
              row={row}
              uses={uses.get(row.address) ?? []}
              isPolled={isPolled(row.address)}
              picked={picked?.address === row.address ? picked : null}
              onPick={onPick}
            />
          ))}
        </tbody>
      </table>
    </section>
  )
}

function RegisterLine({
  row,
  uses,
  isPolled,
  picked,
  onPick,
}: {
  readonly row: RegisterRow
  readonly uses: readonly RegisterUse[]
  readonly isPolled: boolean
  readonly picked: Pick | null
  readonly onPick: (pick: Pick) => void
}) {
  return (
    <tr data-used={uses.length > 0}>
      <th scope="row" className={styles.address}>
        {row.address}
        <span className={styles.notation}>{row.notation}</span>
      </th>
      <td className={styles.usedBy}>{usesInWords(uses, isPolled)}</td>
      <td className={styles.hex}>{row.hex}</td>
      {COLUMNS.map((column) => {
        const { type, order } = column
        const value = column.value(row)
        const isConfigured = uses.some((use) => use.word === 0 && readsAlike(use, column))
        const isPicked = picked !== null && readsAlike(picked, column)
        return (
          // biome-ignore lint/a11y/useKeyWithClickEvents: a shortcut for the pointer; the fields below do the same by keyboard
          <td
            key={`${type} ${column.title}`}
            className={groupEdge(column)}
            data-plausible={isPlausible(value)}
            data-configured={isConfigured}
            data-picked={isPicked}
            title={isConfigured ? 'read so by the config' : undefined}
            onClick={() => value !== null && onPick({ address: row.address, type, order })}
          >
            {valueInWords(value, type)}
          </td>
        )
      })}
    </tr>
  )
}

/** Orders that differ in words only are one for a single register. */
function readsAlike(
  use: { readonly type: RegisterType; readonly order: RegisterOrder },
  column: ReadingColumn,
): boolean {
  if (use.type !== column.type) return false
  if (!use.type.endsWith('16')) return use.order === column.order
  return swapsBytes(use.order) === swapsBytes(column.order)
}

function swapsBytes(order: RegisterOrder): boolean {
  return order === 'BADC' || order === 'DCBA'
}

function valueInWords(value: number | null, type: RegisterType): string {
  if (value === null) return type === 'float32' ? 'none' : 'no next'
  return type === 'float32' ? tableFloat32(value) : wholeNumber(value)
}

function usesInWords(uses: readonly RegisterUse[], isPolled: boolean): string {
  if (uses.length === 0) return isPolled ? 'polled' : ''
  return uses.map(({ channel, word }) => (word === 0 ? channel : `${channel}, second part`)).join('; ')
}

function groupEdge(column: ReadingColumn): string | undefined {
  return GROUPS.some((group) => group.columns[0] === column) ? styles.groupStart : undefined
}

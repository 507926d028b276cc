import { REGISTER_ORDERS, REGISTER_TYPES } from '../../../shared/schemas/config/channel.ts'
import type { RegisterOrder, RegisterType } from '../../../shared/schemas/config.ts'
import type { RegisterView } from '../../../shared/schemas/register-view.ts'
import { CopyText } from '../../_ui/CopyText.tsx'
import type { Pick } from './RegisterTable.tsx'
import styles from './RegisterViewer.module.css'
import { channelSnippet } from './snippet.ts'

const ORDER_WORDS: Record<RegisterOrder, string> = {
  ABCD: 'ABCD, high word first',
  CDAB: 'CDAB, words swapped',
  BADC: 'BADC, bytes swapped',
  DCBA: 'DCBA, both swapped',
}

/** How a register that was found goes into the config. */
export function SnippetBuilder({
  view,
  pick,
  onPick,
}: {
  readonly view: RegisterView
  readonly pick: Pick
  readonly onPick: (pick: Pick) => void
}) {
  const fn = view.function === 3 ? 3 : 4
  const text = channelSnippet({ device: view.device, unitId: view.unitId, function: fn, ...pick })
  return (
    <section className={styles.snippet} aria-labelledby="snippet-title" data-testid="register-snippet">
      <h3 id="snippet-title">Found it? Put it into the config</h3>
      <p className={styles.hint}>
        Choose here, or click the number in the table. Paste the lines under <code>channels:</code>, replace the scale,
        and name the channel in a zone. The gateway takes the file up when it is saved.
      </p>
      <div className={styles.snippetFields}>
        <label className={styles.field}>
          <span>Address</span>
          <select value={pick.address} onChange={(event) => onPick({ ...pick, address: Number(event.target.value) })}>
            {view.rows.map(({ address, notation }) => (
              <option key={address} value={address}>
                {address} ({notation})
              </option>
            ))}
          </select>
        </label>
        <label className={styles.field}>
          <span>Type</span>
          <select value={pick.type} onChange={(event) => onPick({ ...pick, type: event.target.value as RegisterType })}>
            {REGISTER_TYPES.map((type) => (
              <option key={type}>{type}</option>
            ))}
          </select>
        </label>
        <label className={`${styles.field} ${styles.wide}`}>
          <span>Order</span>
          <select
            value={pick.order}
            onChange={(event) => onPick({ ...pick, order: event.target.value as RegisterOrder })}
          >
            {REGISTER_ORDERS.map((order) => (
              <option key={order} value={order}>
                {ORDER_WORDS[order]}
              </option>
            ))}
          </select>
        </label>
      </div>
      <CopyText text={text} label="Channel for the config" />
    </section>
  )
}

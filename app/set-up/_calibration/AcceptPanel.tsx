import { useState } from 'react'
import type { Side } from '../../../shared/sample.ts'
import { type CalibrationChangeInput, changeWritten, type GeometryView } from '../../../shared/schemas/config-write.ts'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { useSignature } from '../../_ui/access/signature.ts'
import { askGateway, type Failure } from '../../_ui/ask.ts'
import { formatNumber, NBSP } from '../../_ui/format.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import styles from './Calibration.module.css'
import { Refusal } from './Refusal.tsx'

/** What would be written for one side. */
export interface Proposal {
  readonly side: Side
  readonly change: Omit<CalibrationChangeInput, 'who' | 'baseRevision'>
}

interface AcceptPanelProps {
  readonly view: GeometryView
  readonly proposals: readonly Proposal[]
  readonly onWritten: (revision: string) => void
  readonly onDiscard: () => void
}

/** Before and after, who answers for it, and the way into the config. */
export function AcceptPanel({ view, proposals, onWritten, onDiscard }: AcceptPanelProps) {
  const { who, setWho, isFixed } = useSignature()
  const [isAsked, setAsked] = useState(false)
  const [isBusy, setBusy] = useState(false)
  const [failure, setFailure] = useState<Failure | null>(null)
  const accept = async () => {
    setAsked(true)
    if (who.trim() === '' || isBusy) return
    setBusy(true)
    const outcome = await writeAll(view, proposals, who)
    setBusy(false)
    setFailure(outcome.failure)
    if (outcome.failure === null) onWritten(outcome.revision)
  }
  const isUnsigned = isAsked && who.trim() === ''
  return (
    <form
      className={styles.accept}
      data-testid="accept"
      onSubmit={(event) => {
        event.preventDefault()
        void accept()
      }}
    >
      <BeforeAfter view={view} proposals={proposals} />
      <RoleGate needs={proposals.some(({ change }) => change.gainN !== undefined) ? 'engineer' : 'operate'}>
        <div className={styles.actions}>
          {isFixed ? (
            <p data-testid="signed-as">Signed as {who}</p>
          ) : (
            <div className={styles.field}>
              <label htmlFor="calibration-who">Your name</label>
              <input
                id="calibration-who"
                autoComplete="name"
                maxLength={60}
                value={who}
                aria-invalid={isUnsigned}
                aria-describedby="calibration-who-note"
                onChange={(event) => setWho(event.target.value)}
                data-testid="who"
              />
              <span id="calibration-who-note" className={isUnsigned ? styles.fault : styles.hint}>
                {isUnsigned ? 'Say who makes the change.' : 'kept with the revision'}
              </span>
            </div>
          )}
          <button
            type="submit"
            className="control"
            disabled={isBusy || proposals.length === 0}
            data-testid="accept-button"
          >
            {isBusy ? 'Writing…' : 'Accept: write into the config'}
          </button>
          <button type="button" className="control" onClick={onDiscard} data-testid="discard">
            Discard
          </button>
        </div>
      </RoleGate>
      {failure !== null && <Refusal failure={failure} what="Not written; all that was captured is kept." />}
    </form>
  )
}

/** One side after another, each made from the revision that the one before wrote. */
async function writeAll(
  view: GeometryView,
  proposals: readonly Proposal[],
  who: string,
): Promise<{ failure: Failure | null; revision: string }> {
  let revision = view.revision
  for (const { side, change } of proposals) {
    const channel = encodeURIComponent(view.zone.cells[side]?.channel ?? '')
    const body = { ...change, who, baseRevision: revision }
    const answer = await askGateway(`/api/channels/${channel}/calibration`, changeWritten, { method: 'POST', body })
    if (!answer.ok) return { failure: answer.failure, revision }
    revision = answer.value.revision
  }
  return { failure: null, revision }
}

function BeforeAfter({ view, proposals }: Pick<AcceptPanelProps, 'view' | 'proposals'>) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reachable by keyboard
    <section className={styles.scroll} aria-label="Before and after" tabIndex={0}>
      <table className={styles.points} data-testid="before-after">
        <thead>
          <tr>
            <th scope="col">Side</th>
            <th scope="col">Key</th>
            <th scope="col">In the config now</th>
            <th scope="col">After</th>
            <th scope="col">What it does</th>
          </tr>
        </thead>
        <tbody>
          {proposals.flatMap(({ side, change }) =>
            rowsOf(view, side, change).map((row) => (
              <tr key={`${side} ${row.key}`}>
                <td>
                  <SideSwatch side={side} /> {SIDES[side].name}
                </td>
                <th scope="row">{row.key}</th>
                <td>{row.before}</td>
                <td data-testid={`after-${row.key}-${side}`}>{row.after}</td>
                <td>{row.effect}</td>
              </tr>
            )),
          )}
        </tbody>
      </table>
    </section>
  )
}

function rowsOf(view: GeometryView, side: Side, { zero, gainN, uGainPercent }: Proposal['change']) {
  const cell = view.zone.cells[side]
  if (cell === undefined) return []
  const unit = cell.electricalUnit ?? 'counts'
  const signed = (x: number, decimals: number) => (x > 0 ? '+' : '') + formatNumber(x, decimals)
  const rows: { key: string; before: string; after: string; effect: string }[] = []
  if (zero !== undefined) {
    const moved = (cell.zero - zero) * (gainN ?? cell.gainN)
    rows.push({
      key: 'zero',
      before: `${formatNumber(cell.zero, 5)}${NBSP}${unit}`,
      after: `${formatNumber(zero, 5)}${NBSP}${unit}`,
      effect: `every force ${signed(moved, 2)}${NBSP}N (${signed((100 * moved) / cell.capacityN, 2)}${NBSP}% of capacity)`,
    })
  }
  if (gainN !== undefined) {
    rows.push({
      key: 'gain',
      before: `${formatNumber(cell.gainN, 4)}${NBSP}N/${unit}`,
      after: `${formatNumber(gainN, 4)}${NBSP}N/${unit}`,
      effect: `every force ${signed(100 * (gainN / cell.gainN - 1), 2)}${NBSP}%`,
    })
    rows.push({
      key: 'u of the gain',
      before: `${formatNumber(cell.uGainPercent, 2)}${NBSP}%`,
      after: uGainPercent === undefined ? 'as it is' : `${formatNumber(uGainPercent, 2)}${NBSP}%`,
      effect: 'standard uncertainty of every force and verdict',
    })
  }
  return rows
}

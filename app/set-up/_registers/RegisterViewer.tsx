import { useState } from 'react'
import type { DeviceHealth, Health } from '../../../shared/schemas/health.ts'
import type { RegisterView } from '../../../shared/schemas/register-view.ts'
import { useAge } from '../../_stream/age.ts'
import { formatAge, formatClock, formatNumber, NBSP } from '../../_ui/format.ts'
import { PLAUSIBLE_RULE } from './plausible.ts'
import { RegisterForm } from './RegisterForm.tsx'
import { type Pick, RegisterTable } from './RegisterTable.tsx'
import styles from './RegisterViewer.module.css'
import { checkQuery, plannedQuery, type QueryField, readInstead, type TypedQuery } from './register-query.ts'
import { SnippetBuilder } from './SnippetBuilder.tsx'
import { isPolled, type RegisterPlace, usesOf } from './usage.ts'
import { useReader } from './use-reader.ts'

/** Devices whose registers can be read. */
function registerDevices(devices: readonly DeviceHealth[]): readonly DeviceHealth[] {
  return devices.filter((device) => device.transport.startsWith('modbus'))
}

/** Shows a register range in every type and word order side by side, so that a wrong map is found by looking. */
export function RegisterViewer({ health }: { readonly health: Health }) {
  const devices = registerDevices(health.devices)
  const [typed, setTyped] = useState<TypedQuery>(() => plannedQuery(devices[0]))
  const [errors, setErrors] = useState<Readonly<Partial<Record<QueryField, string>>>>({})
  const [pick, setPick] = useState<Pick | null>(null)
  const reader = useReader()

  const start = (run: typeof reader.readOnce, asked = typed) => {
    const checked = checkQuery(asked)
    setErrors(checked.ok ? {} : checked.errors)
    if (checked.ok) run(checked.query)
  }
  const type = (part: Partial<TypedQuery>) => {
    reader.stop()
    const chosen = devices.find(({ id }) => id === part.device)
    setTyped((before) => (chosen === undefined ? { ...before, ...part } : plannedQuery(chosen)))
  }
  const { view, failure } = reader
  const asked = devices.find(({ id }) => id === typed.device)
  const instead = failure === null ? null : readInstead(failure, typed, asked)
  const readPlanned = (planned: TypedQuery) => {
    setTyped(planned)
    start(reader.readOnce, planned)
  }
  const device = health.devices.find(({ id }) => id === view?.device)
  const place: RegisterPlace = { device: view?.device ?? '', unitId: view?.unitId ?? 0, function: view?.function ?? 4 }
  const shownPick = view === null ? null : pickWithin(view, pick)

  if (devices.length === 0) {
    return <p className={styles.hint}>No device in the config speaks Modbus, so there are no registers to read.</p>
  }
  return (
    <div className={styles.viewer}>
      <RegisterForm
        devices={devices}
        typed={typed}
        errors={errors}
        isRepeating={reader.isRepeating}
        onType={type}
        onReadOnce={() => start(reader.readOnce)}
        onRepeat={() => start(reader.repeat)}
        onStop={reader.stop}
      />
      <div className={styles.outcome} data-testid="register-outcome">
        {failure !== null && (
          <p className={styles.failure} role="alert">
            <strong>Not read.</strong> {failure.message} {failure.remedy}{' '}
            <span className={styles.code}>{failure.code}</span>
          </p>
        )}
        {instead !== null && (
          <p>
            The device has not all of these registers (exception 02).{' '}
            <button type="button" className="control" onClick={() => readPlanned(instead)}>
              Read {instead.count} from {instead.address}, as the gateway does
            </button>
          </p>
        )}
        {view === null && failure === null && (
          <p className={styles.hint}>
            {reader.isReading
              ? 'Reading…'
              : 'Nothing is read yet. Choose a range and press “Read once”; the read goes between the polls and changes nothing in the device.'}
          </p>
        )}
        {view !== null && <ReadAt view={view} isOld={failure !== null} />}
      </div>
      {view !== null && shownPick !== null && (
        <>
          <RegisterTable
            view={view}
            uses={usesOf(health.channels, place)}
            isPolled={(address) => device !== undefined && isPolled(device, place, address)}
            picked={shownPick}
            onPick={setPick}
          />
          <p className={styles.hint}>
            {PLAUSIBLE_RULE} Boxed: read so by the config. Inverted: chosen for the lines below. Letters are the bytes
            as they come on the wire, A the first.
          </p>
          <SnippetBuilder view={view} pick={shownPick} onPick={setPick} />
        </>
      )}
    </div>
  )
}

/** The chosen register while it is in the table, else its first. */
function pickWithin(view: RegisterView, pick: Pick | null): Pick | null {
  if (pick !== null && view.rows.some(({ address }) => address === pick.address)) return pick
  const [first] = view.rows
  return first === undefined ? null : { address: first.address, type: 'int16', order: 'ABCD' }
}

function ReadAt({ view, isOld }: { readonly view: RegisterView; readonly isOld: boolean }) {
  const age = useAge(view.timeMs)
  const kind = view.function === 3 ? 'holding' : 'input'
  return (
    <p className={isOld ? styles.old : undefined}>
      {isOld ? 'Still shown, from before: ' : ''}
      {view.count} {kind} registers from {view.address}, unit {view.unitId}, read at {formatClock(view.timeMs)} (
      {age === null ? 'age unknown' : `${formatAge(age)} ago`}), round trip {formatNumber(view.roundTripMs, 1)}
      {NBSP}ms.
    </p>
  )
}

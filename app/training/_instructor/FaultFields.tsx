import type { FaultList, TrainingCatalogue } from '../../../shared/schemas/training.ts'
import { SIDES } from '../../_ui/sides.ts'
import { fieldNumber } from '../../_ui/typed-number.ts'
import { NumberField } from '../_desk/ActFields.tsx'
import { type FaultDraft, ONSET_NUMBERS, ONSET_WORDS, onsetsOf, severityLimits } from '../_model/fault-form.ts'
import { causeTitle } from '../_model/names.ts'
import { SideChoice } from '../SideChoice.tsx'
import styles from './Instructor.module.css'

interface FaultFieldsProps {
  readonly draft: FaultDraft
  readonly faults: FaultList
  readonly catalogue: TrainingCatalogue
  readonly zones: readonly string[]
  readonly onChange: (next: FaultDraft) => void
  readonly testId: string
}

/** A fault: which, where, how large, and how it comes. */
export function FaultFields({ draft, faults, catalogue, zones, onChange, testId }: FaultFieldsProps) {
  const listed = faults.faults.find(({ id }) => id === draft.fault)
  /** Another fault has another size: it begins with one that is met in practice. */
  const choose = (fault: string) => {
    const typical = faults.faults.find(({ id }) => id === fault)?.typical
    onChange({ ...draft, fault, severity: typical === undefined ? '' : fieldNumber(typical) })
  }
  const kinds = listed === undefined ? [] : onsetsOf(listed)
  const kind = kinds.find((one) => one === draft.onset) ?? kinds[0]
  return (
    <div className={styles.fields}>
      <label className={styles.fieldBox}>
        Fault
        <select value={draft.fault} onChange={(event) => choose(event.target.value)} data-testid={`${testId}-fault`}>
          <option value="">choose</option>
          {faults.faults.map(({ id }) => (
            <option key={id} value={id}>
              {causeTitle(catalogue, id)}
            </option>
          ))}
        </select>
      </label>
      {zones.length > 1 && (
        <label className={styles.fieldBox}>
          Zone
          <select
            value={draft.zone}
            onChange={(event) => onChange({ ...draft, zone: event.target.value })}
            data-testid={`${testId}-zone`}
          >
            <option value="">choose</option>
            {zones.map((zone) => (
              <option key={zone} value={zone}>
                {zone}
              </option>
            ))}
          </select>
        </label>
      )}
      {listed?.oneSided === true && (
        <SideChoice
          side={draft.side}
          words={(side) => SIDES[side].title}
          onChoose={(side) => onChange({ ...draft, side })}
          className={styles.options}
          testId={testId}
        />
      )}
      {listed !== undefined && (
        <NumberField
          label="Size"
          limits={severityLimits(listed)}
          isRequired
          text={draft.severity}
          fault={undefined}
          onType={(severity) => onChange({ ...draft, severity })}
          testId={`${testId}-severity`}
        />
      )}
      {kind !== undefined && (
        <label className={styles.fieldBox}>
          How it comes
          <select
            value={kind}
            onChange={(event) => onChange({ ...draft, onset: event.target.value })}
            data-testid={`${testId}-onset`}
          >
            {kinds.map((one) => (
              <option key={one} value={one}>
                {ONSET_WORDS[one]}
              </option>
            ))}
          </select>
        </label>
      )}
      {kind !== undefined &&
        ONSET_NUMBERS[kind].map(({ name: number, title, unit, standard, least }) => (
          <NumberField
            key={number}
            label={title}
            limits={{ unit, least, most: null }}
            isRequired
            text={draft.times[number] ?? standard}
            fault={undefined}
            onType={(text) => onChange({ ...draft, times: { ...draft.times, [number]: text } })}
            testId={`${testId}-${number}`}
          />
        ))}
    </div>
  )
}

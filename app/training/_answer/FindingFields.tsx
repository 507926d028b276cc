import type { TrainingCatalogue } from '../../../shared/schemas/training.ts'
import { useHello } from '../../_stream/store.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { type FindingDraft, NOT_KNOWN } from '../_model/answer.ts'
import { SideChoice } from '../SideChoice.tsx'
import pageStyles from '../Training.module.css'
import styles from './Answer.module.css'

interface FindingFieldsProps {
  readonly number: number
  readonly finding: FindingDraft
  readonly catalogue: TrainingCatalogue
  readonly zones: readonly string[]
  readonly fault: string | null
  readonly onChange: (next: FindingDraft) => void
  /** null: it is the only one. */
  readonly onRemove: (() => void) | null
}

/** One cause: which, on which side where it has one, and what ends it. */
export function FindingFields({ number, finding, catalogue, zones, fault, onChange, onRemove }: FindingFieldsProps) {
  const cause = catalogue.causes.find(({ id }) => id === finding.cause)
  const known = useHello()?.zones.zones ?? []
  const zoneOptions = zones.map((id) => ({ value: id, title: known.find((one) => one.id === id)?.name ?? id }))
  return (
    <section className={styles.finding} aria-label={`Cause ${number}`}>
      <Choose
        label="Cause"
        value={finding.cause}
        options={catalogue.causes.map(({ id, title }) => ({ value: id, title }))}
        onChoose={(value) => onChange({ ...finding, cause: value })}
        testId={`cause-${number}`}
      />
      {cause?.oneSided === true && (
        <SideChoice
          side={finding.side}
          words={(side) => (
            <>
              <SideSwatch side={side} /> {SIDES[side].name}
            </>
          )}
          onChoose={(side) => onChange({ ...finding, side })}
          className={styles.options}
          testId="side"
        />
      )}
      {zones.length > 1 && (
        <Choose
          label="Zone"
          value={finding.zone}
          options={zoneOptions}
          onChoose={(zone) => onChange({ ...finding, zone })}
          testId={`zone-${number}`}
        />
      )}
      <Choose
        label="What ends it"
        value={finding.remedy}
        options={[
          ...catalogue.remedies.map(({ id, title }) => ({ value: id, title })),
          { value: NOT_KNOWN, title: 'I do not know' },
        ]}
        onChoose={(remedy) => onChange({ ...finding, remedy })}
        testId={`remedy-${number}`}
      />
      {fault !== null && (
        <p className={pageStyles.fault} role="alert">
          {fault}
        </p>
      )}
      {onRemove !== null && (
        <p>
          <button type="button" className="control" onClick={onRemove}>
            Take this cause out
          </button>
        </p>
      )}
    </section>
  )
}

interface ChooseProps {
  readonly label: string
  readonly value: string
  readonly options: readonly { readonly value: string; readonly title: string }[]
  readonly onChoose: (value: string) => void
  readonly testId: string
}

function Choose({ label, value, options, onChoose, testId }: ChooseProps) {
  return (
    <label className={pageStyles.field}>
      {label}
      <select value={value} onChange={(event) => onChoose(event.target.value)} data-testid={testId}>
        <option value="">choose</option>
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.title}
          </option>
        ))}
      </select>
    </label>
  )
}

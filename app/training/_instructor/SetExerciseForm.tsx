import { useState } from 'react'
import {
  type FaultList,
  type InstructorView,
  instructorView,
  type TrainingCatalogue,
} from '../../../shared/schemas/training.ts'
import { type Asking, askGateway } from '../../_ui/ask.ts'
import { EMPTY_FAULT } from '../_model/fault-form.ts'
import { useSessionText } from '../_model/session-kept.ts'
import { parsedSet, readSet, type SetDraft } from '../_model/set-form.ts'
import { useSending } from '../_model/use-sending.ts'
import { FailureNote } from '../FailureNote.tsx'
import { RadioRow } from '../RadioRow.tsx'
import pageStyles from '../Training.module.css'
import { FaultFields } from './FaultFields.tsx'
import styles from './Instructor.module.css'

interface SetExerciseFormProps {
  readonly catalogue: TrainingCatalogue
  readonly faults: FaultList
  readonly trainees: readonly string[]
  readonly asking: Asking
  readonly onView: (view: InstructorView) => void
}

const WAYS = [
  { value: 'faults', label: 'Faults of my choice' },
  { value: 'seed', label: 'A level, drawn by a seed' },
] as const
const MOST_FAULTS = 4

/** Begins an exercise for a trainee: with chosen faults, or drawn by a seed that gives the same again. */
export function SetExerciseForm({ catalogue, faults, trainees, asking, onView }: SetExerciseFormProps) {
  const [text, keep] = useSessionText('evenpull.training.set')
  const [fault, setFault] = useState<string | null>(null)
  const sending = useSending()
  const draft = parsedSet(text)
  const change = (part: Partial<SetDraft>) => keep(JSON.stringify({ ...draft, ...part }))
  const begin = async () => {
    const read = readSet(draft, catalogue, faults)
    setFault(read.ok ? null : read.fault)
    if (!read.ok) return
    const view = await sending.send(() =>
      askGateway('/api/training/instructor/exercise', instructorView, { ...asking, method: 'POST', body: read.set }),
    )
    if (view !== null) onView(view)
  }
  return (
    <section className={pageStyles.block} aria-labelledby="set">
      <h2 id="set">Set an exercise</h2>
      <label className={pageStyles.field}>
        For whom
        <input
          type="text"
          maxLength={80}
          list="trainees"
          autoComplete="off"
          value={draft.trainee}
          onChange={(event) => change({ trainee: event.target.value })}
          data-testid="set-trainee"
        />
        <datalist id="trainees">
          {trainees.map((name) => (
            <option key={name} value={name} translate="no" />
          ))}
        </datalist>
      </label>
      <label className={pageStyles.field}>
        Line
        <select value={draft.line} onChange={(event) => change({ line: event.target.value })} data-testid="set-line">
          <option value="">choose</option>
          {catalogue.lines.map(({ id, title }) => (
            <option key={id} value={id}>
              {title}
            </option>
          ))}
        </select>
      </label>
      <RadioRow
        legend="What is wrong with it"
        options={WAYS.map(({ value, label }) => ({ value, words: label, testId: `way-${value}` }))}
        value={draft.way}
        onChoose={(way) => change({ way })}
        className={styles.options}
      />
      {draft.way === 'seed' ? (
        <SeedFields draft={draft} catalogue={catalogue} onChange={change} />
      ) : (
        <ChosenFaults draft={draft} catalogue={catalogue} faults={faults} onChange={change} />
      )}
      {fault !== null && (
        <p className={pageStyles.fault} role="alert">
          {fault}
        </p>
      )}
      <FailureNote failure={sending.failure} />
      <p>
        <button
          type="button"
          className={`control ${pageStyles.main}`}
          aria-disabled={sending.isBusy}
          onClick={() => void begin()}
          data-testid="set-begin"
        >
          {sending.isBusy ? 'Setting up the line' : 'Begin the exercise'}
        </button>
      </p>
    </section>
  )
}

interface PartProps {
  readonly draft: SetDraft
  readonly catalogue: TrainingCatalogue
  readonly onChange: (part: Partial<SetDraft>) => void
}

function SeedFields({ draft, catalogue, onChange }: PartProps) {
  return (
    <>
      <label className={pageStyles.field}>
        Level
        <select
          value={draft.level}
          onChange={(event) => onChange({ level: event.target.value })}
          data-testid="set-level"
        >
          <option value="">choose</option>
          {catalogue.levels.map(({ id, title }) => (
            <option key={id} value={id}>
              {title}
            </option>
          ))}
        </select>
      </label>
      <label className={pageStyles.field}>
        Seed
        <input
          type="text"
          inputMode="numeric"
          autoComplete="off"
          value={draft.seed}
          onChange={(event) => onChange({ seed: event.target.value })}
          data-testid="set-seed"
        />
        <span className={pageStyles.soft}>A whole number; the same one gives the same exercise again.</span>
      </label>
    </>
  )
}

function ChosenFaults({ draft, catalogue, faults, onChange }: PartProps & { readonly faults: FaultList }) {
  const zones = catalogue.lines.find(({ id }) => id === draft.line)?.zones ?? []
  return (
    <>
      {draft.faults.length === 0 && <p>None: a sound machine.</p>}
      {draft.faults.map((one, at) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: its place is all that a half-made fault has
        <div key={at} className={styles.putIn}>
          <FaultFields
            draft={one}
            faults={faults}
            catalogue={catalogue}
            zones={zones}
            onChange={(next) => onChange({ faults: draft.faults.map((old, i) => (i === at ? next : old)) })}
            testId={`set-${at + 1}`}
          />
          <p>
            <button
              type="button"
              className="control"
              onClick={() => onChange({ faults: draft.faults.toSpliced(at, 1) })}
            >
              Take this fault out
            </button>
          </p>
        </div>
      ))}
      {draft.faults.length < MOST_FAULTS && (
        <p>
          <button
            type="button"
            className="control"
            onClick={() => onChange({ faults: [...draft.faults, EMPTY_FAULT] })}
          >
            Add a fault
          </button>
        </p>
      )}
    </>
  )
}

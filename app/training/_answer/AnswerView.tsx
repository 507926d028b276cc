import { useState } from 'react'
import type { TrainingCatalogue, TrainingExercise } from '../../../shared/schemas/training.ts'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { formatDuration } from '../../_ui/format.ts'
import { setQuery } from '../../_ui/query.ts'
import { Notes } from '../_desk/Notes.tsx'
import { giveUp, handIn } from '../_model/actions.ts'
import { EMPTY_FINDING, type FindingDraft, readAnswer, type Verdict } from '../_model/answer.ts'
import { changeDraft, useDraft } from '../_model/drafts.ts'
import { useSending } from '../_model/use-sending.ts'
import { FailureNote } from '../FailureNote.tsx'
import { RadioRow } from '../RadioRow.tsx'
import pageStyles from '../Training.module.css'
import styles from './Answer.module.css'
import { FindingFields } from './FindingFields.tsx'

interface AnswerViewProps {
  readonly exercise: TrainingExercise
  readonly catalogue: TrainingCatalogue
}

const MOST_FINDINGS = 4

/** Cause and remedy, named and handed in; the exercise ends with it. */
export function AnswerView({ exercise, catalogue }: AnswerViewProps) {
  const draft = useDraft(exercise.id)
  const change = (findings: readonly FindingDraft[]) => changeDraft(exercise.id, { findings: [...findings] })
  const replace = (at: number, one: FindingDraft) => change(draft.findings.map((old, i) => (i === at ? one : old)))
  const answer = readAnswer(draft, catalogue, exercise.zones)
  const [isTried, setTried] = useState(false)
  const fault = isTried && !answer.ok ? answer : null
  return (
    <div className={pageStyles.page} data-testid="answer">
      <button type="button" className={pageStyles.link} onClick={() => setQuery('step', null, 'push')}>
        Back to the desk
      </button>
      <h1>What is wrong, and what ends it?</h1>
      <p className={pageStyles.lead}>{exercise.task}</p>
      <p className={pageStyles.soft}>{hiddenInWords(exercise)}</p>
      <RoleGate needs="operate">
        <div className={styles.answer}>
          <VerdictChoice
            verdict={draft.verdict}
            onChoose={(verdict) => changeDraft(exercise.id, { verdict })}
            fault={fault !== null && fault.at === null ? fault.fault : null}
          />
          {draft.verdict === 'causes' && (
            <>
              {draft.findings.map((finding, at) => (
                <FindingFields
                  // biome-ignore lint/suspicious/noArrayIndexKey: its place is all that a half-made finding has
                  key={at}
                  number={at + 1}
                  finding={finding}
                  catalogue={catalogue}
                  zones={exercise.zones}
                  fault={fault?.at === at ? fault.fault : null}
                  onChange={(next) => replace(at, next)}
                  onRemove={draft.findings.length > 1 ? () => change(draft.findings.toSpliced(at, 1)) : null}
                />
              ))}
              {draft.findings.length < MOST_FINDINGS && (
                <p>
                  <button
                    type="button"
                    className="control"
                    onClick={() => change([...draft.findings, EMPTY_FINDING])}
                    data-testid="another-cause"
                  >
                    Name another cause
                  </button>
                </p>
              )}
            </>
          )}
          <Notes exercise={exercise.id} />
          <Ends
            exercise={exercise}
            onTry={() => setTried(true)}
            answer={answer.ok ? { findings: [...answer.findings], note: draft.note } : null}
          />
        </div>
      </RoleGate>
    </div>
  )
}

function hiddenInWords({ mostFaults, mayBeNothing, tally }: TrainingExercise): string {
  const most = mostFaults === 1 ? 'There is one fault' : `There are up to ${mostFaults} faults`
  const none = mayBeNothing ? ', or none at all' : ''
  return `${most}${none}. Time used so far: ${formatDuration(tally.seconds)}; unsafe tries: ${tally.unsafe}.`
}

interface VerdictChoiceProps {
  readonly verdict: Verdict
  readonly onChoose: (verdict: Verdict) => void
  readonly fault: string | null
}

const VERDICTS = [
  { value: 'causes', label: 'Something is wrong' },
  { value: 'nothing', label: 'Nothing is wrong' },
] as const

function VerdictChoice({ verdict, onChoose, fault }: VerdictChoiceProps) {
  return (
    <RadioRow
      legend="What you found"
      options={VERDICTS.map(({ value, label }) => ({ value, words: label, testId: `verdict-${value}` }))}
      value={verdict}
      onChoose={onChoose}
      className={styles.options}
    >
      {fault !== null && (
        <p className={pageStyles.fault} role="alert">
          {fault}
        </p>
      )}
    </RadioRow>
  )
}

interface EndsProps {
  readonly exercise: TrainingExercise
  /** null: not whole yet. */
  readonly answer: Omit<Parameters<typeof handIn>[0], 'exercise'> | null
  readonly onTry: () => void
}

/** Both ways to end an exercise, each asked for once more: nothing can be done at the machine afterwards. */
function Ends({ exercise, answer, onTry }: EndsProps) {
  const [asked, setAsked] = useState<'hand-in' | 'give-up' | null>(null)
  const sending = useSending()
  const end = async () => {
    const ended = await sending.send(() =>
      asked === 'hand-in' && answer !== null ? handIn({ exercise: exercise.id, ...answer }) : giveUp(exercise.id),
    )
    if (ended === null) return setAsked(null)
    setQuery('step', null, 'replace')
    setQuery('debrief', ended.id, 'push')
  }
  const tryHandIn = () => {
    onTry()
    if (answer !== null) setAsked('hand-in')
  }
  return (
    <div className={pageStyles.block}>
      <FailureNote failure={sending.failure} />
      {asked === null ? (
        <p className={pageStyles.actions}>
          <button type="button" className={`control ${pageStyles.main}`} onClick={tryHandIn} data-testid="hand-in">
            Hand in
          </button>
          <button type="button" className="control" onClick={() => setAsked('give-up')} data-testid="give-up">
            Give up
          </button>
        </p>
      ) : (
        <div className={styles.confirm} role="alert">
          <p className={styles.confirmTitle}>
            {asked === 'hand-in'
              ? 'Hand in this answer? Nothing more can be done at the machine afterwards.'
              : 'Give up without an answer? The debrief shows what it was.'}
          </p>
          <p className={pageStyles.actions}>
            <button
              type="button"
              className={`control ${pageStyles.main}`}
              aria-disabled={sending.isBusy}
              onClick={() => void end()}
              data-testid="confirm"
            >
              {asked === 'hand-in' ? 'Yes, hand in' : 'Yes, give up'}
            </button>
            <button type="button" className="control" onClick={() => setAsked(null)}>
              No, go on
            </button>
          </p>
        </div>
      )}
    </div>
  )
}

import { useState } from 'react'
import type { PlanStage, PlanTest } from '../../../shared/schemas/verification/plan.ts'
import {
  type NewEntry,
  type PreviewResult,
  previewResult,
  type TestValues,
  type VerificationRecord,
} from '../../../shared/schemas/verification.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { stream } from '../../_stream/store.ts'
import { NameField } from '../../_ui/access/NameField.tsx'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import type { Signature } from '../../_ui/access/signature.ts'
import { askGateway } from '../../_ui/ask.ts'
import { newKey } from '../../_ui/new-key.ts'
import { sidesOf } from '../../_ui/sides.ts'
import { changeDraft, type Draft, draftId, dropDraft, useDraft } from '../_model/draft-store.ts'
import { entriesOf } from '../_model/test-state.ts'
import { valuesOf, wrongNumbers } from '../_model/typed-values.ts'
import { useGatedCapture } from '../_model/use-gated-capture.ts'
import styles from '../Verification.module.css'
import { CapturePanel } from './CapturePanel.tsx'
import fieldStyles from './Fields.module.css'
import { Fields } from './Fields.tsx'
import { History } from './History.tsx'
import { LiveSides } from './LiveSides.tsx'
import { MoreToAdd } from './MoreToAdd.tsx'
import { PushDrawing } from './PushDrawing.tsx'
import { ResultTable } from './ResultTable.tsx'
import { SampledNote } from './SampledNote.tsx'

interface TestPanelProps {
  readonly stage: PlanStage
  readonly test: PlanTest
  readonly record: VerificationRecord
  readonly zone: ZoneInfo
  readonly add: (entry: NewEntry) => void
  readonly signature: Signature
}

/** One test: what it proves, what to do, what to type and capture, what it says, and what is kept of it. */
export function TestPanel({ stage, test, record, zone, add, signature }: TestPanelProps) {
  return (
    <article className={styles.panel} aria-labelledby="test-title" data-testid="test-panel">
      <h2 id="test-title">{test.title}</h2>
      <p>{test.proves}</p>
      <p className={styles.soft}>{test.effect}</p>
      <p className={styles.caution}>{test.caution ?? stage.caution}</p>
      {test.applies ? (
        <>
          <ol className={styles.steps}>
            {test.steps.map((step) => (
              <li key={step}>{step}</li>
            ))}
          </ol>
          {test.id === 'electric.push' && <PushDrawing plan={record.head.plan} />}
          {test.limits.length > 0 && (
            <ul className={styles.limits} aria-label="Limits">
              {test.limits.map(({ text, source }) => (
                <li key={text}>
                  {text} <span className={styles.source}>{source}</span>
                </li>
              ))}
            </ul>
          )}
          {!record.signed && (
            <RoleGate needs="operate">
              <Evidence test={test} record={record} zone={zone} add={add} signature={signature} />
            </RoleGate>
          )}
        </>
      ) : (
        <p>Does not apply here: {test.reason}.</p>
      )}
      <RoleGate needs="operate">
        <History
          test={test}
          entries={entriesOf(record.entries, test.id)}
          all={record.entries}
          recordId={record.head.id}
          add={add}
          signature={signature}
        />
        <MoreToAdd test={test} record={record} add={add} signature={signature} />
      </RoleGate>
    </article>
  )
}

type EvidenceProps = Omit<TestPanelProps, 'stage'>

/** What is typed and captured, and not in the record yet. */
function Evidence({ test, record, zone, add, signature }: EvidenceProps) {
  const id = draftId(record.head.id, test.id)
  const draft = useDraft(id)
  const change = (next: (before: Draft) => Draft) => changeDraft(id, next)
  const sides = sidesOf(zone)
  const gated = useGatedCapture(zone.id, sides, (capture) =>
    change((before) => ({ ...before, captures: [...before.captures, capture] })),
  )
  const values = valuesOf(test, draft)
  const type = (field: string, value: TestValues[string] | undefined, text: string) =>
    change((before) => ({
      ...before,
      values: put(before.values, field, value),
      typed: { ...before.typed, [field]: text },
    }))
  const typeNext = (capture: string) => (field: string, value: TestValues[string] | undefined, text: string) =>
    change((before) => ({
      ...before,
      next: { ...before.next, [capture]: put(before.next[capture] ?? {}, field, value) },
      typed: { ...before.typed, [`${capture}.${field}`]: text },
    }))
  const takePast = (capture: string) => (hours: number) => {
    const nowMs = stream().gatewayNow()
    if (nowMs === null) return
    const ask = {
      key: newKey(),
      capture,
      fromMs: Math.floor(nowMs - hours * 3_600_000),
      toMs: Math.floor(nowMs),
      values: {},
    }
    change((before) => ({ ...before, captures: [...before.captures, ask] }))
  }
  return (
    <div className={styles.evidence}>
      {test.asFoundAsLeft && (
        <PhaseChoice draft={draft} onChoose={(phase) => change((before) => ({ ...before, phase }))} />
      )}
      {test.fields.length > 0 && <Fields fields={test.fields} values={values} typed={draft.typed} onChange={type} />}
      {test.captures.length > 0 && <LiveSides zone={zone} />}
      {test.captures.map((spec) => (
        <CapturePanel
          key={spec.id}
          spec={spec}
          draft={draft}
          gated={gated}
          zone={zone}
          onNext={typeNext(spec.id)}
          onPast={takePast(spec.id)}
          onDrop={(key) =>
            change((before) => ({ ...before, captures: before.captures.filter((one) => one.key !== key) }))
          }
        />
      ))}
      <Judge
        test={test}
        record={record}
        draft={draft}
        values={values}
        add={add}
        signature={signature}
        onKept={() => dropDraft(id)}
      />
    </div>
  )
}

const put = (values: TestValues, id: string, value: TestValues[string] | undefined): TestValues => {
  const { [id]: _, ...rest } = values
  return value === undefined ? rest : { ...rest, [id]: value }
}

function PhaseChoice({
  draft,
  onChoose,
}: {
  readonly draft: Draft
  readonly onChoose: (phase: Draft['phase']) => void
}) {
  const options = [
    { phase: 'as-found', label: 'As found' },
    { phase: 'as-left', label: 'As left' },
  ] as const
  return (
    <fieldset className={fieldStyles.options}>
      <legend>Which it is</legend>
      <div>
        {options.map(({ phase, label }) => (
          <label key={phase}>
            <input
              type="radio"
              name="phase"
              checked={draft.phase === phase}
              onChange={() => onChoose(phase)}
              data-testid={`phase-${phase}`}
            />
            <span>{label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  )
}

interface JudgeProps {
  readonly test: PlanTest
  readonly record: VerificationRecord
  readonly draft: Draft
  readonly values: TestValues
  readonly add: (entry: NewEntry) => void
  readonly signature: Signature
  readonly onKept: () => void
}

/** What it would say, and keeping it. */
function Judge({ test, record, draft, values, add, signature, onKept }: JudgeProps) {
  const [preview, setPreview] = useState<PreviewResult | null>(null)
  const [failure, setFailure] = useState<string | null>(null)
  const [isTried, setTried] = useState(false)
  const { phase, captures } = draft
  const wrong = wrongNumbers(test.fields, draft.typed)
  const look = async () => {
    const body = { test: test.id, phase, values, captures }
    const answer = await askGateway(`/api/verifications/${record.head.id}/preview`, previewResult, {
      method: 'POST',
      body,
    })
    setPreview(answer.ok ? answer.value : null)
    setFailure(answer.ok ? null : `${answer.failure.message} ${answer.failure.remedy}`)
  }
  const keep = () => {
    setTried(true)
    if (signature.who.trim() === '' || wrong.length > 0) return
    add({ kind: 'result', key: newKey(), who: signature.who, test: test.id, phase, values, captures: [...captures] })
    setPreview(null)
    onKept()
  }
  return (
    <div className={styles.judge}>
      <NameField signature={signature} isMissing={isTried && signature.who.trim() === ''} testId="test-who" />
      <p className={styles.actions}>
        <button type="button" className="control" onClick={() => void look()} data-testid="preview">
          Preview the verdict
        </button>
        <button type="button" className="control" onClick={keep} data-testid="keep">
          Keep in the record
        </button>
      </p>
      {isTried && wrong.length > 0 && (
        <p className={styles.failure} data-testid="wrong-numbers">
          Nothing was kept: {wrong.map(({ label }) => label.toLowerCase()).join(', ')} must be a number, or empty.
        </p>
      )}
      {failure !== null && <p className={styles.failure}>{failure}</p>}
      {preview !== null && (
        <div data-testid="preview-result">
          <p className={styles.soft}>Not kept yet:</p>
          <ResultTable result={preview.result} label={`${test.title}, not kept yet`} />
          <SampledNote captures={preview.captures} test={test} />
        </div>
      )}
    </div>
  )
}

import { useState } from 'react'
import { type InstructorChange, instructorView } from '../../../shared/schemas/training.ts'
import { askGateway } from '../../_ui/ask.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import { NumberField } from '../_desk/ActFields.tsx'
import { limitsInWords } from '../_model/act-form.ts'
import { EMPTY_FAULT, parsedFault, readFault } from '../_model/fault-form.ts'
import { useSessionText } from '../_model/session-kept.ts'
import { useSending } from '../_model/use-sending.ts'
import { FailureNote } from '../FailureNote.tsx'
import pageStyles from '../Training.module.css'
import { FaultFields } from './FaultFields.tsx'
import styles from './Instructor.module.css'
import type { WatchedProps } from './Watched.tsx'

const SPEED = { unit: 'm/min', least: 0, most: 1500 }
const TENSION = { unit: 'N', least: 0, most: 20_000 }

/** What an instructor changes at the machine of the exercise while it runs. */
export function ChangeForms({ exercise, catalogue, faults, asking, onView }: WatchedProps) {
  const sending = useSending()
  const send = async (change: InstructorChange) => {
    const view = await sending.send(() =>
      askGateway('/api/training/instructor/changes', instructorView, { ...asking, method: 'POST', body: change }),
    )
    if (view !== null) onView(view)
    return view !== null
  }
  const base = { exercise: exercise.id }
  return (
    <section className={pageStyles.block} aria-labelledby="change">
      <h2 id="change">Change it</h2>
      <FailureNote failure={sending.failure} />
      <PutIn
        zones={exercise.zones}
        catalogue={catalogue}
        faults={faults}
        onPutIn={(fault) => send({ do: 'put-in', ...base, fault })}
      />
      <div className={styles.settings}>
        <Setting
          id="speed"
          label="Speed of the line"
          limits={SPEED}
          button="Set the speed"
          onSet={(speed_m_min) => void send({ do: 'speed', ...base, speed_m_min })}
        />
        {exercise.zones.map((zone) => (
          <Setting
            key={zone}
            id={`tension-${zone}`}
            label={exercise.zones.length === 1 ? 'Web tension' : `Web tension, zone ${zone}`}
            limits={TENSION}
            button="Set the tension"
            onSet={(tension_n) => void send({ do: 'tension', ...base, zone, tension_n })}
          />
        ))}
      </div>
      <p className={pageStyles.actions}>
        <button
          type="button"
          className="control"
          onClick={() => void send({ do: 'programme', ...base })}
          data-testid="programme"
        >
          Let the line run by its programme again
        </button>
        <button
          type="button"
          className="control"
          onClick={() => void send({ do: 'clear-faults', ...base })}
          data-testid="clear-faults"
        >
          Take all faults out
        </button>
      </p>
    </section>
  )
}

interface PutInProps extends Pick<WatchedProps, 'catalogue' | 'faults'> {
  readonly zones: readonly string[]
  /** Resolves to whether it is in. */
  readonly onPutIn: (fault: Extract<ReturnType<typeof readFault>, { ok: true }>['fault']) => Promise<boolean>
}

function PutIn({ zones, catalogue, faults, onPutIn }: PutInProps) {
  const [text, keep] = useSessionText('evenpull.training.put-in')
  const [fault, setFault] = useState<string | null>(null)
  const draft = parsedFault(text)
  const putIn = async () => {
    const read = readFault(draft, faults, zones)
    setFault(read.ok ? null : read.fault)
    if (read.ok && (await onPutIn(read.fault))) keep(JSON.stringify(EMPTY_FAULT))
  }
  return (
    <div className={styles.putIn}>
      <FaultFields
        draft={draft}
        faults={faults}
        catalogue={catalogue}
        zones={zones}
        onChange={(next) => keep(JSON.stringify(next))}
        testId="put-in"
      />
      {fault !== null && (
        <p className={pageStyles.fault} role="alert">
          {fault}
        </p>
      )}
      <p>
        <button type="button" className="control" onClick={() => void putIn()} data-testid="put-in">
          Put this fault in
        </button>
      </p>
    </div>
  )
}

interface SettingProps {
  readonly id: string
  readonly label: string
  readonly limits: typeof SPEED
  readonly button: string
  readonly onSet: (value: number) => void
}

function Setting({ id, label, limits, button, onSet }: SettingProps) {
  const [text, setText] = useSessionText(`evenpull.training.${id}`)
  const [fault, setFault] = useState<string | undefined>(undefined)
  const set = () => {
    const value = typedNumber(text)
    if (value === null) return setFault('type a number')
    if (value < limits.least || value > limits.most) return setFault(limitsInWords(limits))
    setFault(undefined)
    onSet(value)
  }
  return (
    <div className={styles.setting}>
      <NumberField
        label={label}
        limits={limits}
        isRequired
        text={text}
        fault={fault}
        onType={setText}
        testId={`field-${id}`}
      />
      <button type="button" className="control" onClick={set} data-testid={`set-${id}`}>
        {button}
      </button>
    </div>
  )
}

import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { PlanTest } from '../../../shared/schemas/verification/plan.ts'
import { formatDuration } from '../../_ui/format.ts'
import styles from '../Verification.module.css'

interface SampledNoteProps {
  readonly captures: readonly Capture[]
  readonly test: PlanTest
}

/** Which part of a long capture its means are of; nothing where all were read whole. */
export function SampledNote({ captures, test }: SampledNoteProps) {
  return captures.flatMap(({ key, capture, fromMs, toMs, sampledFromMs }) => {
    if (sampledFromMs === undefined) return []
    const label = test.captures.find(({ id }) => id === capture)?.label ?? capture
    return [
      <p key={key} className={styles.soft}>
        {label}, {formatDuration((toMs - fromMs) / 1000)}: its means are of its last{' '}
        {formatDuration((toMs - sampledFromMs) / 1000)}; what moved over all of it is told by its minutes.
      </p>,
    ]
  })
}

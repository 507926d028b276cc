import type { ReactNode } from 'react'
import type { TrainingSide } from '../../shared/schemas/training.ts'
import { RadioRow } from './RadioRow.tsx'

const NAMED_SIDES = ['drive_side', 'operator_side'] as const

interface SideChoiceProps {
  readonly side: string
  readonly words: (side: TrainingSide) => ReactNode
  readonly onChoose: (side: TrainingSide) => void
  readonly className: string | undefined
  /** Before the side's own. */
  readonly testId: string
}

/** On which of both sides. */
export function SideChoice({ side, words, onChoose, className, testId }: SideChoiceProps) {
  const options = NAMED_SIDES.map((one) => ({ value: one, words: words(one), testId: `${testId}-${one}` }))
  return <RadioRow legend="Side" options={options} value={side} onChoose={onChoose} className={className} />
}

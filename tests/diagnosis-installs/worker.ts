import type { FaultId } from '../../shared/faults.ts'
import { outcomeOf } from './campaign.ts'
import type { Answered, Asked, Thresholds } from './jobs.ts'
import { type LineId, thresholdsOn, variation } from './variation.ts'

/** A process of the bench: makes one install after another, as it is asked. The first ask of installs brings the thresholds. */
let known: ReadonlyMap<LineId, ReadonlyMap<FaultId, number | null>> = new Map()

function answerTo(asked: Asked): Answered {
  if (asked.kind === 'thresholds') return { kind: 'thresholds', sizes: [asked.line, [...thresholdsOn(asked.line)]] }
  if (asked.thresholds !== null) known = mapped(asked.thresholds)
  const { cause, n, times } = asked.job
  const one = variation(cause, n, known, times)
  return { kind: 'outcome', outcome: one === null ? null : outcomeOf(one) }
}

const mapped = (thresholds: Thresholds) => new Map(thresholds.map(([line, sizes]) => [line, new Map(sizes)] as const))

process.on('message', (asked: Asked) => process.send?.(answerTo(asked)))

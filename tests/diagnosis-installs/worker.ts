import { outcomeOf } from './campaign.ts'
import type { Answered, Asked, Wholes } from './jobs.ts'
import type { LineId } from './lines.ts'
import { pairOutcome } from './pairs.ts'
import { variation, type Whole, wholeOf } from './variation.ts'

/** A process of the bench: makes one install after another, as it is asked. */
let [told, known]: [number, ReadonlyMap<LineId, Whole>] = [0, new Map()]

function answerTo(asked: Asked): Answered {
  if (asked.kind === 'whole') {
    const { sizes, features } = wholeOf(asked.line)
    return { kind: 'whole', whole: { line: asked.line, sizes: [...sizes], features } }
  }
  if (told !== asked.wholes.length) [told, known] = [asked.wholes.length, mapped(asked.wholes)]
  if (asked.kind === 'pair') return { kind: 'pair', outcome: pairOutcome(asked.pair, asked.n, known, asked.times) }
  const { cause, n, times } = asked.job
  const one = variation(cause, n, known, times)
  return { kind: 'outcome', outcome: one === null ? null : outcomeOf(one) }
}

const mapped = (wholes: Wholes) =>
  new Map(wholes.map(({ line, sizes, features }) => [line, { sizes: new Map(sizes), features }] as const))

process.on('message', (asked: Asked) => process.send?.(answerTo(asked)))

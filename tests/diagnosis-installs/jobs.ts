import { fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import type { FaultId } from '../../shared/faults.ts'
import type { DiagnosisFeature } from '../../shared/schemas/diagnosis.ts'
import type { Outcome } from './campaign.ts'
import type { LineId } from './lines.ts'
import type { Pair, PairOutcome } from './pairs.ts'

/** A whole verification by line, as it goes from process to process. */
export type Wholes = readonly {
  readonly line: LineId
  readonly sizes: readonly (readonly [FaultId, number | null])[]
  readonly features: readonly DiagnosisFeature[]
}[]

/** One install of a campaign: the n-th with this cause, of a size between so many thresholds. */
export interface Job {
  readonly cause: FaultId | null
  readonly n: number
  readonly times: readonly [number, number]
}

export type Asked =
  | {
      readonly kind: 'pair'
      readonly pair: Pair
      readonly n: number
      readonly times: Job['times']
      readonly wholes: Wholes
    }
  | { readonly kind: 'whole'; readonly line: LineId }
  | { readonly kind: 'install'; readonly job: Job; readonly wholes: Wholes }
export type Answered =
  | { readonly kind: 'pair'; readonly outcome: PairOutcome | null }
  | { readonly kind: 'whole'; readonly whole: Wholes[number] }
  | { readonly kind: 'outcome'; readonly outcome: Outcome | null }

const WORKER = fileURLToPath(new URL('./worker.ts', import.meta.url))

/** Asks `processes` workers, each one thing at a time; answers come in the order of what was asked, whoever was quicker. */
export async function askWorkers(
  asked: readonly Asked[],
  processes: number,
  told: (answer: Answered) => void = () => {},
): Promise<readonly Answered[]> {
  const answers: Answered[] = new Array(asked.length)
  let next = 0
  const work = () =>
    new Promise<void>((finished, failed) => {
      const worker = fork(WORKER, { execArgv: ['--import', 'tsx'] })
      let at = -1
      const go = (): void => {
        at = next
        next += 1
        const one = asked[at]
        if (one === undefined) worker.disconnect()
        else worker.send(one)
      }
      worker.on('message', (answer: Answered) => {
        answers[at] = answer
        told(answer)
        go()
      })
      worker.on('error', failed)
      worker.on('exit', (code) => (code === 0 ? finished() : failed(new Error(`a worker ended with ${code}`))))
      go()
    })
  await Promise.all(Array.from({ length: Math.min(processes, asked.length) }, work))
  return answers
}

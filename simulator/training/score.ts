import type { ScoredFinding, TrainingFinding, TrainingScore } from '../../shared/schemas/training.ts'
import type { ActiveFault } from '../faults/active.ts'
import { FAULTS } from '../faults/registry.ts'
import { lookAlike } from './look-alikes.ts'
import { remediesOf } from './remedies.ts'
import { truthWords } from './truth-words.ts'

/** Points of one fault, and of seeing that there is none. */
export const POINTS = { cause: 4, group: 2, side: 2, remedy: 2, nothing: 8 } as const
const MOST_A_FAULT = POINTS.cause + POINTS.side + POINTS.remedy

/** What is scored. */
export interface ToScore {
  readonly truth: readonly ActiveFault[]
  /** null: given up. */
  readonly findings: readonly TrainingFinding[] | null
  readonly unsafe: number
  readonly hints: number
  /** Whether something that was done could tell this fault from what looks like it. */
  readonly wasTold: (fault: ActiveFault) => boolean
}

export const mostPoints = (truth: readonly unknown[]): number => Math.max(1, truth.length) * MOST_A_FAULT

export function scored({ truth, findings, unsafe, hints, wasTold }: ToScore): TrainingScore {
  const left = [...(findings ?? [])]
  const rows = paired(truth, left).map(([fault, finding]) => rowOf(fault, finding, !wasTold(fault)))
  const invented = left.map(inventedRow)
  const earned = rows.reduce((sum, row) => sum + pointsOf(row), 0)
  const rightlyNothing = truth.length === 0 && findings !== null && findings.length === 0
  const all = earned + (rightlyNothing ? POINTS.nothing : 0) - invented.length - unsafe - hints
  const most = mostPoints(truth)
  return {
    points: Math.max(0, all),
    most,
    findings: [...rows, ...invented],
    words: inWords({ truth, findings, unsafe, hints, rightlyNothing, rows, invented }),
  }
}

/** Each fault with the finding that is nearest to it; what is taken leaves `left`. */
function paired(truth: readonly ActiveFault[], left: TrainingFinding[]): [ActiveFault, TrainingFinding | null][] {
  const found = new Map<ActiveFault, TrainingFinding>()
  const take = (suits: (fault: ActiveFault, finding: TrainingFinding) => boolean) => {
    for (const fault of truth) {
      const at = found.has(fault) ? -1 : left.findIndex((finding) => suits(fault, finding))
      const [taken] = at < 0 ? [] : left.splice(at, 1)
      if (taken !== undefined) found.set(fault, taken)
    }
  }
  take((fault, { cause, zone, side }) => cause === fault.fault && zone === fault.zone && side === fault.side)
  take((fault, { cause, zone }) => cause === fault.fault && zone === fault.zone)
  take((fault, { cause, zone }) => lookAlike(cause, fault.fault) && zone === fault.zone)
  return truth.map((fault) => [fault, found.get(fault) ?? null])
}

function rowOf(fault: ActiveFault, finding: TrainingFinding | null, untold: boolean): ScoredFinding {
  const truth = { cause: fault.fault, zone: fault.zone, side: fault.side }
  if (finding === null) {
    const words = `Not found: ${truthWords(fault)}`
    return { finding, truth, cause: false, side: null, group: false, untold, remedy: false, words }
  }
  const cause = finding.cause === fault.fault
  const side = FAULTS[fault.fault].sides === 'one' ? finding.side === fault.side : null
  const remedy = finding.remedy !== null && remediesOf(fault.fault).includes(finding.remedy)
  const row = { finding, truth, cause, side, group: !cause, untold, remedy }
  return { ...row, words: rowWords(row, fault) }
}

function rowWords({ cause, side, untold, remedy }: Omit<ScoredFinding, 'words'>, fault: ActiveFault): string {
  const named = cause ? 'The cause is right' : `It looks like that, but it is: ${truthWords(fault)}`
  const parts = [
    named,
    side === null ? null : side ? 'the side is right' : 'the side is the other one',
    remedy ? 'the remedy ends it' : 'the remedy does not end it',
  ]
  const luck = untold ? ' Nothing that was done could tell it from what looks like it.' : ''
  return `${parts.filter((part) => part !== null).join('; ')}.${luck}`.replaceAll('.;', ';')
}

function inventedRow(finding: TrainingFinding): ScoredFinding {
  const words = `There was nothing like this: ${FAULTS[finding.cause].title}.`
  return { finding, truth: null, cause: false, side: null, group: false, untold: false, remedy: false, words }
}

function pointsOf({ finding, cause, side, group, remedy }: ScoredFinding): number {
  if (finding === null) return 0
  const named = cause ? POINTS.cause : group ? POINTS.group : 0
  return named + (side === null ? (cause ? POINTS.side : 0) : side ? POINTS.side : 0) + (remedy ? POINTS.remedy : 0)
}

function inWords(of: {
  truth: readonly ActiveFault[]
  findings: readonly TrainingFinding[] | null
  unsafe: number
  hints: number
  rightlyNothing: boolean
  rows: readonly ScoredFinding[]
  invented: readonly ScoredFinding[]
}): string {
  const { truth, findings, unsafe, hints, rightlyNothing, rows, invented } = of
  const causes = rows.filter(({ cause }) => cause).length
  const start =
    findings === null
      ? 'Given up'
      : truth.length === 0
        ? rightlyNothing
          ? 'Nothing was wrong, and that was seen'
          : 'Nothing was wrong'
        : `${causes} of ${truth.length} named`
  const off = [
    counted(invented.length, 'finding that was not there', 'findings that were not there'),
    counted(unsafe, 'unsafe try', 'unsafe tries'),
    counted(hints, 'hint', 'hints'),
  ].filter((part) => part !== null)
  return off.length === 0 ? `${start}.` : `${start}; off for ${off.join(', ')}.`
}

const counted = (count: number, one: string, more: string): string | null =>
  count === 0 ? null : `${count} ${count === 1 ? one : more}`

/** Every cause and side named, and nothing that was not there. */
export function isFound({ findings, points }: TrainingScore, truth: readonly unknown[]): boolean {
  if (truth.length === 0) return points > 0 && findings.length === 0
  return findings.every(({ cause, side, truth: of }) => of !== null && cause && side !== false)
}

import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import type { ComparedFigures, RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { compared, worstFirst } from './comparing/compared.ts'
import { matched } from './comparing/match.ts'
import { comparisonNotes } from './comparing/notes.ts'
import { newestResults, type ResultEntry, toldIn } from './comparing/told.ts'

/**
 * What changed between two records of a zone beyond the uncertainty of both; not merely what differs.
 *
 * The newest result of each test counts. Where the later visit kept results as found, they are held against what the
 * earlier one left as well: that is what changed while nobody was there. Records of two zones have nothing to compare.
 */
export function compareRecords(earlier: VerificationRecord, later: VerificationRecord): RecordComparison {
  const lists =
    earlier.head.zone === later.head.zone
      ? compareResults(newestResults(earlier), newestResults(later))
      : { changed: [], unchanged: [], notComparable: [] }
  return {
    earlier: whichOf(earlier),
    later: whichOf(later),
    ...lists,
    onReturn: onReturn(earlier, later),
    notes: [...comparisonNotes(earlier, later, lists)],
  }
}

/** The same of single results: of one test as found and as left, say. */
export function compareResults(before: readonly ResultEntry[], after: readonly ResultEntry[]): ComparedFigures {
  const all = matched(before.flatMap(toldIn), after.flatMap(toldIn)).map(compared)
  const of = (kind: keyof ComparedFigures) => all.filter((one) => one.kind === kind).map(({ figure }) => figure)
  return { changed: of('changed').toSorted(worstFirst), unchanged: of('unchanged'), notComparable: of('notComparable') }
}

function onReturn(earlier: VerificationRecord, later: VerificationRecord): ComparedFigures | null {
  if (earlier.head.id === later.head.id || earlier.head.zone !== later.head.zone) return null
  const found = newestResults(later, 'as-found')
  if (found.length === 0) return null
  const tests = new Set(found.map(({ test }) => test))
  return compareResults(
    newestResults(earlier).filter(({ test }) => tests.has(test)),
    found,
  )
}

const whichOf = ({ head: { id, title, begunMs, revision }, signed }: VerificationRecord) => ({
  id,
  title,
  begunMs,
  revision,
  signed,
})

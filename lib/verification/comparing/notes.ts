import type { VerificationRecord } from '../../../shared/schemas/verification.ts'
import type { ComparedFigures } from '../../../shared/schemas/verification-compare.ts'

/** What a reader of a comparison must know, one sentence each. */
export function comparisonNotes(
  earlier: VerificationRecord,
  later: VerificationRecord,
  { changed, unchanged }: ComparedFigures,
): readonly string[] {
  const [before, after] = [earlier.head, later.head]
  if (before.zone !== after.zone)
    return [`The records are of two zones, ${before.zone} and ${after.zone}: nothing in them is the same quantity.`]
  const withU = [...changed, ...unchanged].filter(({ difference }) => (difference?.U ?? 0) > 0).length
  return [
    'Changed means beyond the uncertainty of both. Random parts are independent; systematic parts that both visits may share are not taken off, so a difference has to be larger, never smaller, to be called a change.',
    ...(withU < 10
      ? []
      : [
          `Of ${withU} figures with an uncertainty up to about ${Math.ceil(withU / 20)} would be called changed by chance alone: a single one wants a second measurement.`,
        ]),
    ...(before.begunMs > after.begunMs ? ['The record named as the earlier one was begun later.'] : []),
    ...(before.revision === after.revision
      ? []
      : [
          `The config is another one (${before.revision} before, ${after.revision} after): a figure may read otherwise for what was changed in it.`,
        ]),
    ...(before.software === after.software
      ? []
      : [`Judged by version ${before.software} before and ${after.software} after.`]),
    ...corrected(true, earlier),
    ...corrected(false, later),
  ]
}

function corrected(isEarlier: boolean, { entries }: VerificationRecord): readonly string[] {
  const of = [...new Set(entries.flatMap((entry) => (entry.kind === 'correction' ? [entry.of] : [])))]
  const results = of.filter((seq) => entries.some((entry) => entry.seq === seq && entry.kind === 'result'))
  if (results.length === 0) return []
  return [
    `In the ${isEarlier ? 'earlier' : 'later'} record a correction stands at ${results.length === 1 ? 'entry' : 'entries'} ${results.join(', ')}: figures are compared as they were measured.`,
  ]
}

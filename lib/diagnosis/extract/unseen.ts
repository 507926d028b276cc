import type { UnseenFeature } from '../../../shared/schemas/diagnosis.ts'
import type { ZoneSpectrum } from '../../../shared/schemas/spectrum.ts'
import type { TestId } from '../../../shared/schemas/verification/test-ids.ts'
import type { VerificationRecord } from '../../../shared/schemas/verification.ts'
import { mainsUnseen } from '../../spectrum/hidden-mains.ts'

/** What this sampling cannot see, so that its absence says nothing. */
export function unseenFromSpectrum({ signals }: ZoneSpectrum): UnseenFeature[] {
  const told = Object.values(signals).find((signal) => signal?.state === 'told')
  if (told?.state !== 'told') return []
  const why = mainsUnseen(told.rateHz, told.binHz)
  return why === null ? [] : [{ feature: 'mains-running', sentence: why }]
}

const MAINS_OF: Readonly<Partial<Record<TestId, UnseenFeature['feature']>>> = {
  'running.lines': 'mains-running',
  'electric.channels': 'static-mains',
}

/** The same of the newest captures of a record: a mains figure that could not be told, with why. */
export function unseenFromRecord({ entries }: Pick<VerificationRecord, 'entries'>): UnseenFeature[] {
  const newest = new Map<UnseenFeature['feature'], UnseenFeature | null>()
  for (const entry of entries) {
    if (entry.kind !== 'result') continue
    const feature = MAINS_OF[entry.test]
    if (feature === undefined) continue
    const mains = entry.result.figures.filter(({ id }) => id === 'mains-amplitude')
    const whys = mains.flatMap(({ value, verdict: { reason } }) =>
      value === null && reason.kind === 'waiting' ? [reason.for] : [],
    )
    newest.set(feature, whys[0] === undefined ? null : { feature, sentence: whys[0] })
  }
  return [...newest.values()].flatMap((one) => one ?? [])
}

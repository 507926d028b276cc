import { diagnosisContextOf } from '../../lib/diagnosis/context.ts'
import { diagnose } from '../../lib/diagnosis/diagnose.ts'
import { featuresFromLive } from '../../lib/diagnosis/extract/from-live.ts'
import { featuresFromRecord } from '../../lib/diagnosis/extract/from-record.ts'
import { unseenFromRecord, unseenFromSpectrum } from '../../lib/diagnosis/extract/unseen.ts'
import { verificationContext } from '../../lib/verification/context.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { DiagnosisContext, DiagnosisFeature, UnseenFeature } from '../../shared/schemas/diagnosis.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { ShiftAnalysis, ShiftQuery } from '../../shared/schemas/shift.ts'
import type { ZoneSpectrum } from '../../shared/schemas/spectrum.ts'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import type { ZoneDiagnosis } from '../../shared/schemas/zone-diagnosis.ts'
import type { LoadedConfig } from '../config/load.ts'
import { notThere } from '../not-there.ts'

export interface ZoneDiagnosisSources {
  readonly loaded: () => LoadedConfig
  readonly now: (zone: string) => ZoneNow | undefined
  readonly shift: (zone: string, query: ShiftQuery) => Promise<ShiftAnalysis | undefined>
  readonly spectrum: (zone: string, seconds: number) => Promise<ZoneSpectrum> | undefined
  readonly epochMs: () => number
}

/** What drift and steps are looked for in, and what a spectrum is made of. */
const LOOK_BACK_MS = 4 * 3_600_000
const SPECTRUM_S = 60

/**
 * What could be wrong with a zone: from what runs now, and from a record. A signed record is read alone: what runs
 * today may be another install. Rejects with EVP_NOT_FOUND for a zone that is not there or not the record's.
 */
export async function zoneDiagnosisOf(
  sources: ZoneDiagnosisSources,
  zone: string,
  record: VerificationRecord | null,
): Promise<ZoneDiagnosis> {
  const { config, revision } = sources.loaded()
  if (!config.zones.some(({ id }) => id === zone)) throw notThere('zone', zone)
  if (record !== null) refuseOther(record, zone)
  const context = diagnosisContextOf(verificationContext(config, zone, revision))
  const isAlone = record?.signed === true
  const live = isAlone ? NOTHING : await liveFeatures(sources, zone, context)
  const features = [...(record === null ? [] : featuresFromRecord(record, context)), ...live.features]
  const unseen = [...(record === null ? [] : unseenFromRecord(record)), ...live.unseen]
  return {
    zone,
    timeMs: sources.epochMs(),
    record: record === null ? null : { id: record.head.id, title: record.head.title, alone: isAlone },
    features,
    context,
    diagnosis: diagnose({ features, unseen, context }),
  }
}

function refuseOther({ head }: VerificationRecord, zone: string): void {
  if (head.zone !== zone)
    throw new EvenpullError(
      'EVP_NOT_FOUND',
      `record ${JSON.stringify(head.id)} is of zone ${JSON.stringify(head.zone)}`,
    )
}

interface Live {
  readonly features: readonly DiagnosisFeature[]
  readonly unseen: readonly UnseenFeature[]
}

const NOTHING: Live = { features: [], unseen: [] }

async function liveFeatures(sources: ZoneDiagnosisSources, zone: string, context: DiagnosisContext): Promise<Live> {
  const to = sources.epochMs()
  const [shift, spectrum] = await Promise.all([
    sources.shift(zone, { from: to - LOOK_BACK_MS, to }),
    sources.spectrum(zone, SPECTRUM_S),
  ])
  const evidence = { now: sources.now(zone) ?? null, shift: shift ?? null, spectrum: spectrum ?? null }
  return {
    features: featuresFromLive(evidence, context),
    unseen: evidence.spectrum === null ? [] : unseenFromSpectrum(evidence.spectrum),
  }
}

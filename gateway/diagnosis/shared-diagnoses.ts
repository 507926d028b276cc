import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import type { ZoneDiagnosis } from '../../shared/schemas/zone-diagnosis.ts'
import { type ZoneDiagnosisSources, zoneDiagnosisOf } from './zone-diagnosis.ts'

/** Everybody who asks the same within this time gets the same diagnosis: it changes slowly, costs, and bears its time. */
export const DIAGNOSIS_KEPT_MS = 10_000

export interface SharedDiagnosesSources extends ZoneDiagnosisSources {
  readonly record: (id: string) => Promise<VerificationRecord>
  readonly monotonicMs: () => number
}

interface Kept {
  readonly askedMs: number
  readonly diagnosis: Promise<ZoneDiagnosis>
}

/** Diagnoses of the zones, one for all who look: as long as the config and the record are the same. */
export class SharedDiagnoses {
  readonly #sources: SharedDiagnosesSources
  readonly #kept = new Map<string, Kept>()

  constructor(sources: SharedDiagnosesSources) {
    this.#sources = sources
  }

  /** Rejects with EVP_NOT_FOUND for a zone or record that is not there. */
  async of(zone: string, recordId: string | undefined): Promise<ZoneDiagnosis> {
    const record = recordId === undefined ? null : await this.#sources.record(recordId)
    const { revision } = this.#sources.loaded()
    // What was added to the record is in its digest: whoever has just kept a result sees it.
    const key = JSON.stringify([zone, revision, record?.digest])
    this.#forget()
    const kept = this.#kept.get(key)
    if (kept !== undefined) return kept.diagnosis
    const diagnosis = zoneDiagnosisOf(this.#sources, zone, record)
    this.#kept.set(key, { askedMs: this.#sources.monotonicMs(), diagnosis })
    diagnosis.catch(() => this.#kept.delete(key))
    return diagnosis
  }

  #forget(): void {
    const now = this.#sources.monotonicMs()
    for (const [key, { askedMs }] of this.#kept) if (now - askedMs >= DIAGNOSIS_KEPT_MS) this.#kept.delete(key)
  }
}

import { describe, expect, it } from 'vitest'
import type { LoadedConfig } from '../../gateway/config/load.ts'
import { DIAGNOSIS_KEPT_MS, SharedDiagnoses } from '../../gateway/diagnosis/shared-diagnoses.ts'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import { contextOf, recordOf, resultEntry } from '../verification/support/made-record.ts'

const context = contextOf('install')
const zone = context.zone.id
const bare = recordOf(context, 'Open', [])
const grown = recordOf(context, 'Open', [resultEntry(context, 'fit.runout', { runout: 0.2 })])

/** Counts what is worked out; the clock stands unless it is set. */
function counted(records: readonly VerificationRecord[] = [bare]) {
  const asked = { shift: 0, spectrum: 0 }
  const now = { ms: 0, revision: 'a', record: records[0] }
  const diagnoses = new SharedDiagnoses({
    loaded: () => ({ config: context.config, revision: now.revision }) as LoadedConfig,
    now: () => undefined,
    shift: async () => {
      asked.shift += 1
      return undefined
    },
    spectrum: () => {
      asked.spectrum += 1
      return undefined
    },
    record: async () => now.record ?? bare,
    epochMs: () => 1_760_000_000_000 + now.ms,
    monotonicMs: () => now.ms,
  })
  return { asked, now, diagnoses }
}

describe('the diagnosis of a zone', () => {
  it('is worked out once for all who look within ten seconds, and anew after them', async () => {
    const { asked, now, diagnoses } = counted()
    const [one, other] = await Promise.all([diagnoses.of(zone, undefined), diagnoses.of(zone, undefined)])
    expect(other).toBe(one)
    now.ms = DIAGNOSIS_KEPT_MS - 1
    expect(await diagnoses.of(zone, undefined)).toBe(one)
    expect(asked).toEqual({ shift: 1, spectrum: 1 })
    now.ms = DIAGNOSIS_KEPT_MS
    expect((await diagnoses.of(zone, undefined)).timeMs).toBe(one.timeMs + DIAGNOSIS_KEPT_MS)
    expect(asked).toEqual({ shift: 2, spectrum: 2 })
  })

  it('is another one with a record, with what was added to it a moment ago, and under another config', async () => {
    const { asked, now, diagnoses } = counted()
    await diagnoses.of(zone, undefined)
    const before = await diagnoses.of(zone, bare.head.id)
    now.record = grown
    const after = await diagnoses.of(zone, grown.head.id)
    expect(after.features.length).toBeGreaterThan(before.features.length)
    now.revision = 'b'
    await diagnoses.of(zone, undefined)
    expect(asked.shift).toBe(4)
  })

  it('that was refused is not kept', async () => {
    const { asked, diagnoses } = counted()
    for (let i = 0; i < 2; i += 1)
      await expect(diagnoses.of('nowhere', undefined)).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
    await expect(diagnoses.of('nowhere', bare.head.id)).rejects.toMatchObject({ code: 'EVP_NOT_FOUND' })
    expect(asked.shift).toBe(0)
  })
})

import { useEffect, useState } from 'react'
import { type VerificationList, verificationList } from '../../../shared/schemas/verification.ts'
import { type RecordComparison, recordComparison } from '../../../shared/schemas/verification-compare.ts'
import { type Answer, askGateway } from '../../_ui/ask.ts'

export interface Asked<T> {
  readonly value: T | null
  readonly failure: string | null
}

const NOTHING = { value: null, failure: null }
const asked = <T>(answer: Answer<T>): Asked<T> =>
  answer.ok
    ? { value: answer.value, failure: null }
    : { value: null, failure: `${answer.failure.message} ${answer.failure.remedy}` }

/** Records of a zone, newest first, asked for once. */
export function useRecords(zone: string): Asked<VerificationList> {
  const [state, setState] = useState<Asked<VerificationList>>(NOTHING)
  useEffect(() => {
    const asking = new AbortController()
    const path = `/api/zones/${encodeURIComponent(zone)}/verifications`
    askGateway(path, verificationList, { signal: asking.signal }).then((answer) => setState(asked(answer)), ignored)
    return () => asking.abort()
  }, [zone])
  return state
}

/** A record against an earlier one, anew whenever something was added to it (`digest`); nothing is asked without `earlier`. */
export function useComparison(id: string, digest: string, earlier: string | null): Asked<RecordComparison> {
  const [state, setState] = useState<Asked<RecordComparison> & { readonly of: string | null }>({ ...NOTHING, of: null })
  // biome-ignore lint/correctness/useExhaustiveDependencies: another digest is another record
  useEffect(() => {
    if (earlier === null) return
    const asking = new AbortController()
    const path = `/api/verifications/${encodeURIComponent(id)}/compare?with=${encodeURIComponent(earlier)}`
    askGateway(path, recordComparison, { signal: asking.signal }).then(
      (answer) => setState({ ...asked(answer), of: earlier }),
      ignored,
    )
    return () => asking.abort()
  }, [id, digest, earlier])
  return state.of === earlier ? state : NOTHING
}

/** Aborted: another question is on its way. */
function ignored() {}

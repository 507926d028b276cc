import { EvenpullError } from '../../shared/errors.ts'
import type { RecorderState } from '../../shared/schemas/recorder.ts'
import type { WriterStatus } from './writer-facts.ts'

/** One sentence for a state, and the error that stands behind it. */
export interface StateWords {
  readonly state: RecorderState
  readonly sentence: string
  readonly error: EvenpullError | null
}

export const OFF: StateWords = {
  state: 'off',
  sentence: 'Recording is off in the config: nothing is kept when the gateway stops.',
  error: null,
}
export const OPENING: StateWords = { state: 'stopped', sentence: 'The store is being opened.', error: null }

/** Without their number, which grows: a sentence that changes is an event of the trail. */
const SINCE_A_LOSS = 'Samples are recorded; some since the start could not be kept, and are counted.'

export function stoppedBy(error: EvenpullError): StateWords {
  return { state: 'stopped', sentence: `Nothing is recorded: ${error.message}. Live viewing goes on.`, error }
}

/** `lost`: whether a sample since the start could not be kept, by whomever. */
export function wordsOf({ state, fault }: WriterStatus, minFreeBytes: number, lost: boolean): StateWords {
  if (state === 'running') return { state, sentence: lost ? SINCE_A_LOSS : 'Every sample is recorded.', error: null }
  if (state === 'roll-ups-only') {
    const limit = `less than ${inMb(minFreeBytes)} free`
    const error = new EvenpullError('EVP_STORE_FULL', `the disk of the store has ${limit}`)
    return {
      state,
      sentence: `The disk is nearly full (${limit}): only figures of 10 s and longer are recorded, not every sample.`,
      error,
    }
  }
  const code = fault?.kind === 'full' ? 'EVP_STORE_FULL' : 'EVP_STORE_WRITE'
  return stoppedBy(new EvenpullError(code, `the store cannot be written (${fault?.message ?? 'unknown'})`))
}

/** Said while there is still time: less than twice what is needed. */
export function warningOf(freeBytes: number | null, minFreeBytes: number): string | null {
  if (freeBytes === null || freeBytes >= 2 * minFreeBytes) return null
  return `${inMb(freeBytes)} are free on the disk of the store; under ${inMb(minFreeBytes)} not every sample is recorded.`
}

const inMb = (bytes: number) => `${Math.round(bytes / 1e6)} MB`

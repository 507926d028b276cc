import { EvenpullError } from '../../shared/errors.ts'
import { faultOf } from './driver.ts'

/** Does what somebody waits for: a failure carries the code that he is told. */
export function orSaid(act: () => unknown): void {
  try {
    act()
  } catch (error) {
    const code = faultOf(error) === 'full' ? 'EVP_STORE_FULL' : 'EVP_STORE_WRITE'
    const message = error instanceof Error ? error.message : String(error)
    throw new EvenpullError(code, `the store cannot be written (${message})`, { cause: error })
  }
}

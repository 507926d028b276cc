import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { ExpectedAt } from '../expected-at.ts'

/** One capture of a steadily running web, and what is expected there; or why nothing is. */
export interface RunningPoint {
  readonly capture: Capture
  readonly name: string
  readonly at: ExpectedAt | string
}

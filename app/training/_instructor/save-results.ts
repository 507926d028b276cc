import { errorBody } from '../../../shared/schemas/error-body.ts'
import type { Asking, Failure } from '../../_ui/ask.ts'

/** Saves an answer of the gateway as a file; null: saved. It is fetched and not linked to, because it goes with the key. */
export async function saveResults(
  path: string,
  format: 'csv' | 'json',
  { headers = {} }: Asking,
): Promise<Failure | null> {
  const response = await fetch(path, { cache: 'no-store', headers }).catch(() => null)
  if (response === null)
    return { code: 'no-gateway', message: 'The gateway did not answer.', remedy: 'Check that it runs, then try again.' }
  if (!response.ok) {
    const told = errorBody.safeParse(await response.json().catch(() => null))
    if (told.success) return told.data
    return { code: `HTTP ${response.status}`, message: `The gateway refused (HTTP ${response.status}).`, remedy: '' }
  }
  const address = URL.createObjectURL(await response.blob())
  const link = document.createElement('a')
  link.href = address
  link.download = `training-results.${format}`
  link.click()
  // The browser takes the file from the address after this call.
  setTimeout(() => URL.revokeObjectURL(address), 60_000)
  return null
}

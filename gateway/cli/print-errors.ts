import { EvenpullError } from '../../shared/errors.ts'
import { ConfigErrors, withPlace } from '../config/errors.ts'

/** An error that is many, as many. */
export function eachError(error: EvenpullError): readonly EvenpullError[] {
  return error instanceof ConfigErrors ? error.errors : [error]
}

/** Errors as `--json` prints them. */
export function errorsAsJson(error: EvenpullError): string {
  return JSON.stringify({ ok: false, errors: eachError(error) })
}

/**
 * Errors for a person: what and where, the line of `text` with a mark under the column, and what to
 * do, which is said once where several errors have it in common.
 */
export function errorsAsText(error: EvenpullError, text?: string): string[] {
  const errors = eachError(error)
  const lines = text?.split(/\r?\n/)
  return errors.flatMap((each, i) => [
    `${withPlace(each)} [${each.code}]`,
    ...(lines === undefined || each.place === undefined ? [] : excerpt(lines, each.place)),
    ...(errors[i + 1]?.remedy === each.remedy ? [] : [`  → ${each.remedy}`]),
  ])
}

const WIDEST = 110

function excerpt(lines: readonly string[], { line, column }: { line: number; column: number }): string[] {
  const written = lines[line - 1]
  if (written === undefined || written.trim() === '') return []
  const from = Math.max(0, column - 1 - WIDEST + 20)
  const shown = written.slice(from, from + WIDEST).replaceAll('\t', ' ')
  const gutter = String(line)
  return [`  ${gutter} | ${shown}`, `  ${' '.repeat(gutter.length)} | ${' '.repeat(column - 1 - from)}^`]
}

/** Any thrown value as an EvenpullError. */
export function asEvenpullError(error: unknown): EvenpullError {
  if (error instanceof EvenpullError) return error
  const message = error instanceof Error ? (error.stack ?? error.message) : String(error)
  return new EvenpullError('EVP_INTERNAL', message, { cause: error })
}

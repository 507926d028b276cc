import { type ErrorBody, EvenpullError } from '../../shared/errors.ts'

/**
 * Everything wrong with one config, in the order of the file. As an error by itself it speaks for
 * the first; `errors` holds all of them, each with its place.
 */
export class ConfigErrors extends EvenpullError {
  readonly errors: readonly EvenpullError[]
  /** True when rules were left unchecked because they need what is wrong. */
  readonly mayHideMore: boolean

  constructor(
    errors: readonly [EvenpullError, ...EvenpullError[]],
    { mayHideMore = true }: { readonly mayHideMore?: boolean } = {},
  ) {
    const [first] = errors
    super(first.code, errors.map(withPlace).join('\n'), {
      remedy: first.remedy,
      ...(first.place === undefined ? {} : { place: first.place }),
    })
    this.errors = errors
    this.mayHideMore = mayHideMore
  }

  override toJSON(): ErrorBody & { readonly errors: readonly ErrorBody[] } {
    return { ...super.toJSON(), errors: this.errors.map((error) => error.toJSON()) }
  }
}

/** `file:line:column: message`, as editors and terminals make it a link. */
export function withPlace(error: EvenpullError): string {
  const { place } = error
  return place === undefined ? error.message : `${place.file}:${place.line}:${place.column}: ${error.message}`
}

/** The same errors from the top of the file to its end; those without a place come first. */
export function inFileOrder(errors: readonly EvenpullError[]): EvenpullError[] {
  const at = (error: EvenpullError) => [error.place?.line ?? 0, error.place?.column ?? 0] as const
  return [...errors].sort((a, b) => {
    const [lineA, columnA] = at(a)
    const [lineB, columnB] = at(b)
    return lineA - lineB || columnA - columnB
  })
}

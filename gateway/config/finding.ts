import type { ErrorCode } from '../../shared/errors.ts'

/** Steps from the top of the file to a value: keys and list indices. */
export type ConfigPath = readonly (string | number)[]

/** Something wrong with the content, before its line and column are looked up. */
export interface Finding {
  readonly code: Extract<ErrorCode, `EVP_CONFIG_${string}`>
  readonly path: ConfigPath
  /** What to point at: the value, the key in front of it, or (a key is missing) the mapping. */
  readonly at: 'value' | 'key'
  readonly message: string
}

/** A finding about a value. */
export function wrong(path: ConfigPath, message: string, code: Finding['code'] = 'EVP_CONFIG_INVALID'): Finding {
  return { code, path, at: 'value', message }
}

/** A name that stands for nothing in this file. */
export function unknownName(path: ConfigPath, message: string): Finding {
  return wrong(path, message, 'EVP_CONFIG_REFERENCE')
}

/** A key that should not be there. */
export function wrongKey(path: ConfigPath, message: string): Finding {
  return { code: 'EVP_CONFIG_INVALID', path, at: 'key', message }
}

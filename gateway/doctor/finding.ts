/** One thing that was looked at. */
export interface Finding {
  /** What was looked at: "serial line /dev/ttyUSB0". */
  readonly what: string
  /** `right`; `look`: it runs, but somebody should see to it; `wrong`: it will not run so; `untold`: this system does not tell. */
  readonly state: 'right' | 'look' | 'wrong' | 'untold'
  /** What was found, with the numbers. */
  readonly found: string
  /** What to do; null where there is nothing to do. */
  readonly remedy: string | null
}

export const right = (what: string, found: string): Finding => ({ what, state: 'right', found, remedy: null })
export const untold = (what: string, found: string): Finding => ({ what, state: 'untold', found, remedy: null })
export const look = (what: string, found: string, remedy: string): Finding => ({ what, state: 'look', found, remedy })
export const wrong = (what: string, found: string, remedy: string): Finding => ({ what, state: 'wrong', found, remedy })

/** The reason of a failed system call in words. */
export function reasonOf(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException
  return (code !== undefined && REASONS[code]) || code || message
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'it is not there',
  EACCES: 'this user may not',
  EPERM: 'this user may not',
  EROFS: 'the disk is read-only',
  ENOTDIR: 'a part of its path is no folder',
  ECONNREFUSED: 'nothing listens there',
  EHOSTUNREACH: 'no way leads there',
  ENETUNREACH: 'no way leads there',
  ENOTFOUND: 'the name is not known',
  EAI_AGAIN: 'the name cannot be looked up now',
  ETIMEDOUT: 'no answer in time',
}

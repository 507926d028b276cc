/** A value that this browser keeps, heard in every tab. Where storage is forbidden or full it lasts as long as the page. */
export interface BrowserKept<T> {
  /** The same value until something changed. */
  get(): T
  /** Changes what is kept at this moment, be it by another tab. False where it does not outlive the page. */
  change(next: (before: T) => T): boolean
  /** False while the newest value does not outlive the page. */
  isStored(): boolean
  /** Called when something changed, also in another tab. Returns the undo. */
  subscribe(listener: () => void): () => void
}

interface Keeping<T> {
  readonly key: string
  /** Never throws: what can no longer be read is left out. */
  readonly parse: (text: string | null) => T
  /** What another tab kept, with what only this page has because it could not be stored. */
  readonly join: (theirs: T, mine: T) => T
}

export function browserKept<T>({ key, parse, join }: Keeping<T>): BrowserKept<T> {
  const listeners = new Set<() => void>()
  /** With the text that it was read from or stored as; null where it never was. */
  let value: { readonly now: T; readonly text: string | null } | null = null
  let isStored = true
  const read = (text: string | null) => {
    value = { now: parse(text), text }
    return value.now
  }
  const get = (): T => (value === null ? read(stored(key)) : value.now)
  /** What another tab kept a moment ago may not have been heard yet. What only this page has is not stored. */
  const newest = (): T => {
    const text = stored(key)
    return !isStored || (value !== null && value.text === text) ? get() : read(text)
  }
  return {
    get,
    change(next) {
      const now = next(newest())
      const text = JSON.stringify(now)
      value = { now, text }
      isStored = store(key, text)
      for (const listener of listeners) listener()
      return isStored
    },
    isStored: () => isStored,
    subscribe(listener) {
      const elsewhere = (event: StorageEvent) => {
        if (event.key !== key) return
        const mine = isStored ? null : { now: get() }
        const theirs = read(event.newValue)
        if (mine !== null) value = { now: join(theirs, mine.now), text: null }
        listener()
      }
      listeners.add(listener)
      addEventListener('storage', elsewhere)
      return () => {
        listeners.delete(listener)
        removeEventListener('storage', elsewhere)
      }
    },
  }
}

function stored(key: string): string | null {
  try {
    return localStorage.getItem(key)
  } catch {
    return null
  }
}

function store(key: string, text: string): boolean {
  try {
    localStorage.setItem(key, text)
    return true
  } catch {
    return false
  }
}

/** JSON of any kind; null for what is none. */
export function parsedJson(text: string | null): unknown {
  try {
    return JSON.parse(text ?? 'null')
  } catch {
    return null
  }
}

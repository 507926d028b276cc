/** A value that this browser keeps, heard in every tab. Where storage is forbidden or full it lasts as long as the page. */
export interface BrowserKept<T> {
  /** The same value until something changed. */
  get(): T
  /** False where it does not outlive the page. */
  set(next: T): boolean
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
  let value: { readonly now: T } | null = null
  let isStored = true
  const get = (): T => {
    value ??= { now: parse(stored(key)) }
    return value.now
  }
  return {
    get,
    set(next) {
      value = { now: next }
      isStored = store(key, JSON.stringify(next))
      for (const listener of listeners) listener()
      return isStored
    },
    subscribe(listener) {
      const elsewhere = (event: StorageEvent) => {
        if (event.key !== key) return
        const theirs = parse(event.newValue)
        value = { now: isStored ? theirs : join(theirs, get()) }
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

import { useSyncExternalStore } from 'react'

/** A choice of two looks that stands as an attribute of the root element, or follows what the device asks for. */
export interface RootChoiceOptions<Look extends string> {
  /** Of the browser's storage, and of `document.documentElement.dataset`. */
  readonly key: string
  readonly attribute: string
  /** Media query, and the look while it holds and while it does not. */
  readonly query: string
  readonly looks: readonly [whileItHolds: Look, otherwise: Look]
}

export interface RootChoice<Look extends string> {
  readonly useChoice: () => Look | 'system'
  /** As painted now: for canvases, which must draw anew when it changes. */
  readonly usePainted: () => Look
  readonly choose: (choice: Look | 'system') => void
}

/** `system` is what a new reader gets. The script before the first paint sets the attribute the same way. */
export function rootChoice<Look extends string>(options: RootChoiceOptions<Look>): RootChoice<Look> {
  const { key, attribute, query, looks } = options
  const [held, otherwise] = looks
  const listeners = new Set<() => void>()
  /** Holds the choice where storage is forbidden: it then lasts as long as the page. */
  let unstored: Look | 'system' = 'system'

  const read = (): Look | 'system' => {
    try {
      const kept = localStorage.getItem(key)
      return looks.find((look) => look === kept) ?? 'system'
    } catch {
      return unstored
    }
  }
  const apply = () => {
    const choice = read()
    const wanted = matchMedia(query).matches ? held : otherwise
    document.documentElement.dataset[attribute] = choice === 'system' ? wanted : choice
    for (const listener of listeners) listener()
  }
  const subscribe = (listener: () => void) => {
    if (listeners.size === 0) {
      matchMedia(query).addEventListener('change', apply)
      addEventListener('storage', apply)
    }
    listeners.add(listener)
    return () => {
      listeners.delete(listener)
      if (listeners.size > 0) return
      matchMedia(query).removeEventListener('change', apply)
      removeEventListener('storage', apply)
    }
  }
  return {
    useChoice: () => useSyncExternalStore(subscribe, read, () => 'system' as const),
    usePainted: () =>
      useSyncExternalStore(
        subscribe,
        () => (document.documentElement.dataset[attribute] === held ? held : otherwise),
        () => otherwise,
      ),
    choose: (choice) => {
      unstored = choice
      try {
        if (choice === 'system') localStorage.removeItem(key)
        else localStorage.setItem(key, choice)
      } catch {
        // Storage is forbidden here; `unstored` holds it.
      }
      apply()
    },
  }
}

import { useSyncExternalStore } from 'react'

const listeners = new Set<() => void>()
const unstored = new Map<string, string>()

function read(key: string): string {
  try {
    return sessionStorage.getItem(key) ?? unstored.get(key) ?? ''
  } catch {
    return unstored.get(key) ?? ''
  }
}

function keep(key: string, value: string): void {
  unstored.set(key, value)
  try {
    sessionStorage.setItem(key, value)
  } catch {
    // Storage is forbidden here: `unstored` holds it as long as the page lives.
  }
  for (const listener of listeners) listener()
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

/** A text that this tab alone keeps, and only until it is closed: what another user of the browser must not find. */
export function useSessionText(key: string): readonly [string, (value: string) => void] {
  const kept = useSyncExternalStore(
    subscribe,
    () => read(key),
    () => '',
  )
  return [kept, (value) => keep(key, value)]
}

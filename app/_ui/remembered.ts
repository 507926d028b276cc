import { useSyncExternalStore } from 'react'

const listeners = new Set<() => void>()
const unstored = new Map<string, string>()

function read(key: string): string | null {
  try {
    return localStorage.getItem(key) ?? unstored.get(key) ?? null
  } catch {
    return unstored.get(key) ?? null
  }
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener)
  addEventListener('storage', listener)
  return () => {
    listeners.delete(listener)
    removeEventListener('storage', listener)
  }
}

/** A yes or no this browser remembers, `fallback` until the reader says otherwise. */
export function useRememberedFlag(key: string, fallback: boolean): readonly [boolean, (value: boolean) => void] {
  const kept = useSyncExternalStore(
    subscribe,
    () => read(key),
    () => null,
  )
  return [kept === null ? fallback : kept === 'yes', (value) => remember(key, value ? 'yes' : 'no')]
}

/** A text this browser remembers. */
export function useRememberedText(key: string, fallback: string): readonly [string, (value: string) => void] {
  const kept = useSyncExternalStore(
    subscribe,
    () => read(key),
    () => null,
  )
  return [kept ?? fallback, (value) => remember(key, value)]
}

function remember(key: string, value: string): void {
  unstored.set(key, value)
  try {
    localStorage.setItem(key, value)
  } catch {
    // Storage is forbidden here: `unstored` holds it as long as the page lives.
  }
  for (const listener of listeners) listener()
}

import { useSyncExternalStore } from 'react'

/** Next's router changes the address without an event; ours is sent after each change made here. */
const CHANGED = 'evenpull:query'

function subscribe(listener: () => void): () => void {
  addEventListener('popstate', listener)
  addEventListener(CHANGED, listener)
  return () => {
    removeEventListener('popstate', listener)
    removeEventListener(CHANGED, listener)
  }
}

/** One value of the address's query; null when absent and while the page is being built. */
export function useQuery(name: string): string | null {
  return useSyncExternalStore(
    subscribe,
    () => new URLSearchParams(location.search).get(name),
    () => null,
  )
}

/** Sets or removes (null) one value of the query. A change a reader would go back from makes an entry in the history. */
export function setQuery(name: string, value: string | null, history: 'push' | 'replace'): void {
  const url = new URL(location.href)
  if (value === null) url.searchParams.delete(name)
  else url.searchParams.set(name, value)
  if (url.href === location.href) return
  if (history === 'push') window.history.pushState(window.history.state, '', url)
  else window.history.replaceState(window.history.state, '', url)
  dispatchEvent(new Event(CHANGED))
}

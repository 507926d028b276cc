import { useSyncExternalStore } from 'react'
import { THEME_KEY } from './theme-script.ts'

/** `system` follows the browser's own setting and is what a new reader gets. */
export const THEME_CHOICES = ['system', 'light', 'dark'] as const
export type ThemeChoice = (typeof THEME_CHOICES)[number]

const listeners = new Set<() => void>()
/** Holds the choice where storage is forbidden: it then lasts as long as the page. */
let unstored: ThemeChoice = 'system'

function readChoice(): ThemeChoice {
  try {
    const kept = localStorage.getItem(THEME_KEY)
    return kept === 'light' || kept === 'dark' ? kept : 'system'
  } catch {
    return unstored
  }
}

function apply(): void {
  const choice = readChoice()
  const systemIsDark = matchMedia('(prefers-color-scheme: dark)').matches
  document.documentElement.dataset.theme = choice === 'system' ? (systemIsDark ? 'dark' : 'light') : choice
  for (const listener of listeners) listener()
}

function subscribe(listener: () => void): () => void {
  if (listeners.size === 0) {
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', apply)
    addEventListener('storage', apply)
  }
  listeners.add(listener)
  return () => {
    listeners.delete(listener)
    if (listeners.size > 0) return
    matchMedia('(prefers-color-scheme: dark)').removeEventListener('change', apply)
    removeEventListener('storage', apply)
  }
}

export function useThemeChoice(): ThemeChoice {
  return useSyncExternalStore(subscribe, readChoice, () => 'system')
}

/** `light` or `dark` as painted now: for canvases, which must draw anew when it changes. */
export function useTheme(): 'light' | 'dark' {
  return useSyncExternalStore(
    subscribe,
    () => (document.documentElement.dataset.theme === 'dark' ? 'dark' : 'light'),
    () => 'light',
  )
}

export function chooseTheme(choice: ThemeChoice): void {
  unstored = choice
  try {
    if (choice === 'system') localStorage.removeItem(THEME_KEY)
    else localStorage.setItem(THEME_KEY, choice)
  } catch {
    // Storage is forbidden here; `unstored` holds it.
  }
  apply()
}

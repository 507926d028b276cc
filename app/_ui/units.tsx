'use client'

import { createContext, type ReactNode, use, useMemo, useSyncExternalStore } from 'react'
import { SI_CHOICE, UNIT_OPTIONS, type UnitChoice } from '../../shared/unit-choice.ts'
import { type FormattedFigure, formatFigure, formatPlain, formatRough, type RoughFigure } from './format.ts'

const KEY = 'evenpull.units'
const listeners = new Set<() => void>()
let chosen: UnitChoice | null = null

/** Keeps only what is still a unit of today: a stored choice may be older than the page. */
export function readUnitChoice(stored: string | null): UnitChoice {
  try {
    const kept: unknown = JSON.parse(stored ?? '{}')
    const result: Record<string, string> = { ...SI_CHOICE }
    for (const [kind, options] of Object.entries(UNIT_OPTIONS)) {
      const value = (kept as Record<string, unknown> | null)?.[kind]
      if (typeof value === 'string' && (options as readonly string[]).includes(value)) result[kind] = value
    }
    return result as unknown as UnitChoice
  } catch {
    return SI_CHOICE
  }
}

function current(): UnitChoice {
  if (chosen === null) {
    try {
      chosen = readUnitChoice(localStorage.getItem(KEY))
    } catch {
      chosen = SI_CHOICE
    }
  }
  return chosen
}

function changed(next: UnitChoice): void {
  chosen = next
  for (const listener of listeners) listener()
}

function followOtherTabs(event: StorageEvent): void {
  if (event.key === KEY) changed(readUnitChoice(event.newValue))
}

function subscribe(listener: () => void): () => void {
  if (listeners.size === 0) addEventListener('storage', followOtherTabs)
  listeners.add(listener)
  return () => {
    listeners.delete(listener)
    if (listeners.size === 0) removeEventListener('storage', followOtherTabs)
  }
}

export function chooseUnits(part: Partial<UnitChoice>): void {
  const next = { ...current(), ...part }
  try {
    localStorage.setItem(KEY, JSON.stringify(next))
  } catch {
    // Storage is forbidden here: the choice lasts as long as the page.
  }
  changed(next)
}

export interface Units {
  readonly choice: UnitChoice
  /** Value and expanded uncertainty, both SI, rounded to the uncertainty. */
  figure(value: number, U: number | null, siUnit: string): FormattedFigure
  /** The same of a difference: a change of temperature has no offset. */
  difference(value: number, U: number | null, siUnit: string): FormattedFigure
  /** A measured value whose uncertainty is not known. */
  rough(value: number, siUnit: string): RoughFigure
  /** An exact number such as a limit; `isDifference` for spans and half-widths. */
  plain(value: number, siUnit: string, isDifference: boolean): string
}

/** Figures as a reader with this choice sees them. */
export function unitsOf(choice: UnitChoice): Units {
  return {
    choice,
    figure: (value, U, siUnit) => formatFigure(value, U, siUnit, choice),
    difference: (value, U, siUnit) => formatFigure(value, U, siUnit, choice, true),
    rough: (value, siUnit) => formatRough(value, siUnit, choice),
    plain: (value, siUnit, isDifference) => formatPlain(value, siUnit, choice, isDifference),
  }
}

export const UnitsContext = createContext<Units>(unitsOf(SI_CHOICE))

/** The reader's units, remembered in this browser and shared by its tabs. */
export function UnitsProvider({ children }: { readonly children: ReactNode }) {
  const choice = useSyncExternalStore(subscribe, current, () => SI_CHOICE)
  const units = useMemo(() => unitsOf(choice), [choice])
  return <UnitsContext value={units}>{children}</UnitsContext>
}

export function useUnits(): Units {
  return use(UnitsContext)
}

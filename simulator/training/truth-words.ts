import type { ActiveFault } from '../faults/active.ts'
import type { Onset } from '../faults/onset.ts'
import { FAULTS } from '../faults/registry.ts'
import { inWords, SIDE_WORDS } from '../technician/arguments.ts'

/** A fault in a sentence, with its size and when it was there. */
export function truthWords({ fault, side, severity, onset }: ActiveFault): string {
  const { title } = FAULTS[fault]
  const parts = [title, side === null ? null : SIDE_WORDS[side], sizeWords(fault, severity), onsetWords(onset)]
  return `${parts.filter((part) => part !== null && part !== '').join(', ')}.`
}

/** "12 % of span"; the kind where a severity is one; nothing where it is there or not. */
export function sizeWords(fault: ActiveFault['fault'], severity: number): string {
  const { unit } = FAULTS[fault].severity
  if (unit === 'present') return ''
  const kind = unit.split(', ').find((words) => words.startsWith(`${severity} `))
  return kind === undefined || !unit.startsWith('1 ') ? `${severity} ${unit}` : kind.slice(2)
}

export function onsetWords(onset: Onset): string {
  switch (onset.kind) {
    case 'constant':
      return 'there from the start'
    case 'sudden':
      return `comes at once after ${inWords(onset.after_s)}`
    case 'growing':
      return `grows within ${inWords(onset.over_s)}`
    case 'with-temperature':
      return `grows from ${onset.from_c} to ${onset.full_c} °C in the hall`
    case 'with-speed':
      return `grows from ${onset.from_m_s} to ${onset.full_m_s} m/s`
    case 'intermittent':
      return `comes for ${inWords(onset.on_s)} and goes for ${inWords(onset.off_s)} on the mean`
  }
}

'use client'

import { useRememberedFlag } from '../remembered.ts'
import { chooseTheme, THEME_CHOICES, useThemeChoice } from '../theme.ts'
import { FLIP_KEY } from '../view-choices.ts'
import { Choice, Menu } from './Menu.tsx'

const WORDS = { system: 'Automatic', light: 'Light', dark: 'Dark' } as const
const SIDES_WORDS = { drive: 'Drive side', operator: 'Operator side' } as const

/** How the page looks to this reader: light or dark, and from which end of the line the roller is seen. */
export function ThemeMenu() {
  const chosen = useThemeChoice()
  const [isFlipped, setFlipped] = useRememberedFlag(FLIP_KEY, false)
  return (
    <Menu id="view" label="View">
      <Choice title="Theme" name="theme" options={THEME_CHOICES} chosen={chosen} words={WORDS} onChoose={chooseTheme} />
      <Choice
        title="Drawn on the left"
        name="left-side"
        options={['drive', 'operator'] as const}
        chosen={isFlipped ? 'operator' : 'drive'}
        words={SIDES_WORDS}
        onChoose={(side) => setFlipped(side === 'operator')}
      />
    </Menu>
  )
}

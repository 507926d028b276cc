'use client'

import {
  chooseDecimal,
  chooseLanguage,
  DECIMAL_CHOICES,
  LANGUAGE_CHOICES,
  useDecimalChoice,
  useLanguageChoice,
} from '../../_language/choice.ts'
import { useRememberedFlag } from '../remembered.ts'
import {
  CONTRAST_CHOICES,
  chooseContrast,
  chooseTheme,
  THEME_CHOICES,
  useContrastChoice,
  useThemeChoice,
} from '../theme.ts'
import { FLIP_KEY } from '../view-choices.ts'
import { Choice, Menu } from './Menu.tsx'

const WORDS = { system: 'Automatic', light: 'Light', dark: 'Dark' } as const
const CONTRAST_WORDS = { system: 'Automatic', normal: 'Normal', high: 'High' } as const
/** Each in its own language: who cannot read the page finds the way out. */
const LANGUAGE_WORDS = { system: 'Automatic', en: 'English', de: 'Deutsch' } as const
const DECIMAL_WORDS = { system: 'As the language', '.': 'Point: 1.5', ',': 'Comma: 1,5' } as const
const SIDES_WORDS = { drive: 'Drive side', operator: 'Operator side' } as const

/** How the page looks to this reader: language, decimal sign, light or dark, how much contrast, and from which end of the line the roller is seen. */
export function ThemeMenu() {
  const chosen = useThemeChoice()
  const contrast = useContrastChoice()
  const language = useLanguageChoice()
  const decimal = useDecimalChoice()
  const [isFlipped, setFlipped] = useRememberedFlag(FLIP_KEY, false)
  return (
    <Menu id="view" label="View">
      <Choice
        title="Language"
        name="language"
        options={LANGUAGE_CHOICES}
        chosen={language}
        words={LANGUAGE_WORDS}
        onChoose={chooseLanguage}
      />
      <Choice
        title="Decimal sign"
        name="decimal"
        options={DECIMAL_CHOICES}
        chosen={decimal}
        words={DECIMAL_WORDS}
        onChoose={chooseDecimal}
      />
      <Choice title="Theme" name="theme" options={THEME_CHOICES} chosen={chosen} words={WORDS} onChoose={chooseTheme} />
      <Choice
        title="Contrast"
        name="contrast"
        options={CONTRAST_CHOICES}
        chosen={contrast}
        words={CONTRAST_WORDS}
        onChoose={chooseContrast}
      />
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

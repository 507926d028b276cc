import { rootChoice } from './root-choice.ts'
import { CONTRAST_KEY, THEME_KEY } from './theme-script.ts'

export const THEME_CHOICES = ['system', 'light', 'dark'] as const

const theme = rootChoice({
  key: THEME_KEY,
  attribute: 'theme',
  query: '(prefers-color-scheme: dark)',
  looks: ['dark', 'light'],
})
export const useThemeChoice = theme.useChoice
export const chooseTheme = theme.choose

export const CONTRAST_CHOICES = ['system', 'normal', 'high'] as const

/** High: black on white or white on black, stronger lines, nothing faint. For glare, dust on the glass, and tired eyes. */
const contrast = rootChoice({
  key: CONTRAST_KEY,
  attribute: 'contrast',
  query: '(prefers-contrast: more)',
  looks: ['high', 'normal'],
})
export const useContrastChoice = contrast.useChoice
export const chooseContrast = contrast.choose

/** Both as painted now, in one text: a canvas draws anew when it changes. */
export const useLook = (): string => `${theme.usePainted()} ${contrast.usePainted()}`

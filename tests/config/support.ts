import { readFileSync } from 'node:fs'
import { ConfigErrors } from '../../gateway/config/errors.ts'
import { parseConfig } from '../../gateway/config/load.ts'

/** The valid config that the wrong ones differ from in one place. */
export const TWO_SIDES = readFileSync(new URL('./fixtures/two-sides.yaml', import.meta.url), 'utf8')

/** What is wrong with `text`, as `line:column CODE message`; throws when nothing is. */
export function errorsOf(text: string): string[] {
  return thrownBy(text).errors.map(({ place, code, message }) => `${place?.line}:${place?.column} ${code} ${message}`)
}

export function thrownBy(text: string): ConfigErrors {
  try {
    parseConfig(text, 'line.yaml')
  } catch (error) {
    if (error instanceof ConfigErrors) return error
    throw error
  }
  throw new Error('this config was taken for right')
}

/** The valid config with `from` (which must be there) replaced by `to`, once. */
export function edited(from: string, to: string, text = TWO_SIDES): string {
  if (!text.includes(from)) throw new Error(`the fixture has no ${from}`)
  return text.replace(from, () => to)
}

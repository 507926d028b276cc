import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { DOCUMENTED_COMMANDS } from '../../../app/help/_model/commands.ts'

export const ROOT = fileURLToPath(new URL('../../..', import.meta.url))

const README = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8')

/** The fenced block of README with this info string, without the indent of the list it stands in. */
export function readmeBlocks(info: string): string[] {
  const fence = new RegExp(`^( *)\`\`\`${info}\\n([\\s\\S]*?)^ *\`\`\``, 'gm')
  return [...README.matchAll(fence)].map(([, indent = '', block = '']) =>
    block
      .split('\n')
      .map((line) => (line.startsWith(indent) ? line.slice(indent.length) : line))
      .join('\n'),
  )
}

/** Every line of shell that README has in a fence, without its remark. */
export function readmeCommands(): string[] {
  return readmeBlocks('sh')
    .flatMap((block) => block.split('\n'))
    .map((line) => line.replace(/\s+# .*$/, '').trim())
    .filter((line) => line !== '')
}

/** Every line that a page of Help has for copying. */
export const helpCommands = (): string[] => Object.values(DOCUMENTED_COMMANDS).flatMap((text) => text.split('\n'))

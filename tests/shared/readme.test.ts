import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parseConfig } from '../../gateway/config/load.ts'
import { ERROR_CATALOGUE } from '../../shared/errors.ts'

const README = readFileSync(new URL('../../README.md', import.meta.url), 'utf8')

/** `code | remedy` rows of the error table. */
function documentedErrors(): Record<string, string> {
  const rows = [...README.matchAll(/^\| `(EVP_\w+)` \| (.+) \|$/gm)]
  return Object.fromEntries(rows.map(([, code, remedy]) => [code, remedy]))
}

describe('README', () => {
  it('lists every error of the catalogue with its remedy, and no other', () => {
    expect(documentedErrors()).toEqual({ ...ERROR_CATALOGUE })
  })

  it('shows a first config that the gateway accepts as written', () => {
    const block = /```yaml first-connection\n([\s\S]*?)```/.exec(README)?.[1] ?? ''
    const text = block.replace(/^ {3}/gm, '')
    expect(parseConfig(text, 'README.md').config.zones[0]?.id).toBe('infeed')
  })

  it('shows how to send on, as the gateway accepts it', () => {
    const block = (name: string) => new RegExp(`\`\`\`yaml ${name}\\n([\\s\\S]*?)\`\`\``).exec(README)?.[1] ?? ''
    const text = `${block('first-connection').replace(/^ {3}/gm, '')}\n${block('sending-on')}`
    expect(parseConfig(text, 'README.md').config.forward.mqtt).toMatchObject({ username: 'line-1', every_s: 10 })
  })

  it('has the job in one paragraph at its top', () => {
    expect(README.split('\n\n')[1]).toMatch(/^A technician fits a pair of tension load cells .*must train others\./s)
  })
})

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { ConfigErrors } from '../../gateway/config/errors.ts'
import { loadConfig } from '../../gateway/config/load.ts'
import { edited, errorsOf, TWO_SIDES, thrownBy } from './support.ts'

describe('text that is no plain YAML is refused at its place:', () => {
  test.each([
    [
      'a tab as indentation, and nothing that follows from it',
      edited('    host:', '\thost:'),
      '10:1 EVP_CONFIG_YAML a tab stands in the indentation',
    ],
    [
      'a key written twice',
      edited('rate_hz: 100', 'rate_hz: 100\n    rate_hz: 50'),
      '13:5 EVP_CONFIG_YAML rate_hz is written twice; the first is on line 12',
    ],
    ['a second document', `${TWO_SIDES}---\nversion: 1\n`, '41:1 EVP_CONFIG_YAML a second document begins here'],
    ['a bracket that is not closed', 'version: [1, 2', '1:15 EVP_CONFIG_YAML'],
    [
      'an alias of nothing',
      edited('{ unit: mV/V }', '*cel', edited('{ unit: N, zero: 0.042,', '&cell { unit: N, zero: 0.042,')),
      '19:17 EVP_CONFIG_YAML *cel repeats an anchor that is not written above it',
    ],
    ['an unknown tag', edited('rate_hz: 100', 'rate_hz: !hz 100'), '12:14 EVP_CONFIG_YAML Unresolved tag: !hz'],
    [
      'a mapping as a key',
      '? { a: 1 }\n: 2\n',
      '1:3 EVP_CONFIG_YAML a list or a mapping stands where a key is expected',
    ],
    ['two pairs on one line', 'version: 1: 2\n', '1:10 EVP_CONFIG_YAML a second "key: value" stands on this line'],
  ])('%s', (_title, text, start) => {
    expect(errorsOf(text)[0]).toContain(start)
  })
})

describe('text made to exhaust a reader is refused in bounded time and memory:', () => {
  const bomb = ['a0: &a0 [x, x, x, x, x, x, x, x, x]']
  for (let i = 1; i <= 12; i++) bomb.push(`a${i}: &a${i} [${`*a${i - 1}, `.repeat(9)}]`)
  test.each([
    ['anchors that multiply', bomb.join('\n'), 'anchors are repeated more than 1000 times'],
    ['brackets without end', '['.repeat(200_000), 'nested too deeply'],
    ['braces without end', '{'.repeat(200_000), 'nested too deeply'],
    ['lists in lists on one line', '- '.repeat(200_000), 'nested too deeply'],
    ['keys in keys', '? '.repeat(200_000), 'nested too deeply'],
    [
      'mappings in mappings',
      Array.from({ length: 1300 }, (_, i) => `${' '.repeat(i)}a:`).join('\n'),
      'nested too deeply',
    ],
    ['more than 1 MB', `# ${'x'.repeat(1024 * 1024)}`, 'the limit is 1048576'],
  ])('%s', (_title, text, message) => {
    const { errors } = thrownBy(text)
    expect(errors.map(({ code }) => code)).toEqual(['EVP_CONFIG_YAML'])
    expect(errors[0]?.message).toContain(message)
  })

  test('keys by the ten thousand are compared without comparing each with each', () => {
    const text = Array.from({ length: 10_000 }, (_, i) => `k${i}:`).join('\n')
    const { errors } = thrownBy(text)
    expect(errors).toHaveLength(101)
    expect(errors.at(-1)?.message).toBe('and 9904 more like these')
  })

  test('errors by the thousand are cut short and counted', () => {
    const { errors } = thrownBy('a: b: c\n'.repeat(2000))
    expect(errors.length).toBe(51)
    expect(errors.at(-1)?.message).toMatch(/^and \d+ more like these$/)
  })
})

describe('a file', () => {
  let folder = ''
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenpull-config-'))
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  async function refused(name: string, bytes: Uint8Array): Promise<ConfigErrors> {
    writeFileSync(join(folder, name), bytes)
    return loadConfig(join(folder, name)).then(
      () => Promise.reject(new Error('taken for right')),
      (error: unknown) => (error instanceof ConfigErrors ? error : Promise.reject(error)),
    )
  }

  test('in Latin-1 is refused at the first byte that is not UTF-8', async () => {
    const text = edited('Example plant', 'Gebäude 7')
    const { errors } = await refused('latin1.yaml', Buffer.from(text, 'latin1'))
    expect(errors).toHaveLength(1)
    expect(errors[0]).toMatchObject({ code: 'EVP_CONFIG_YAML', place: { line: 3, column: 11 } })
    expect(errors[0]?.message).toContain('byte 0xe4 is not UTF-8')
  })

  test('that ends in the middle of a character is refused there', async () => {
    const bytes = Buffer.from('plant: Gebä')
    const { errors } = await refused('cut.yaml', bytes.subarray(0, -1))
    expect(errors[0]).toMatchObject({ code: 'EVP_CONFIG_YAML', place: { line: 1, column: 11 } })
  })

  test('in UTF-16 is told so', async () => {
    const { errors } = await refused('utf16.yaml', Buffer.from(`\uFEFF${TWO_SIDES}`, 'utf16le'))
    expect(errors[0]?.message).toContain('UTF-16')
  })

  test('with a byte order mark is read', async () => {
    writeFileSync(join(folder, 'bom.yaml'), `\uFEFF${TWO_SIDES}`)
    expect((await loadConfig(join(folder, 'bom.yaml'))).config.zones).toHaveLength(1)
  })

  test('that is not there, and a folder, are said to be so', async () => {
    await expect(loadConfig(join(folder, 'none.yaml'))).rejects.toMatchObject({ code: 'EVP_CONFIG_NOT_FOUND' })
    await expect(loadConfig(folder)).rejects.toThrow('it is a folder')
  })
})

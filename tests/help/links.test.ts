import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'

const APP = fileURLToPath(new URL('../../app/', import.meta.url))
const sources = readdirSync(APP, { recursive: true, encoding: 'utf8' }).filter((name) => /\.tsx?$/.test(name))

describe('links into Help from the rest of the product', () => {
  const links = sources
    .filter((name) => !name.startsWith('help/'))
    .flatMap((name) => {
      const found = readFileSync(join(APP, name), 'utf8').matchAll(/['"](\/help\/[a-z/-]+)(?:#([a-z-]+))?['"]/g)
      return [...found].map(([, path = '', place]) => ({ name, path, place }))
    })

  it('lead to a page and a place that are there', () => {
    expect(links.length).toBeGreaterThan(8)
    for (const { name, path, place } of links) {
      const folder = join(APP, path)
      expect(existsSync(join(folder, 'page.tsx')), `${name}: ${path}`).toBe(true)
      if (place === undefined) continue
      const text = readdirSync(folder)
        .map((file) => readFileSync(join(folder, file), 'utf8'))
        .join('\n')
      expect(text, `${name}: ${path}#${place}`).toContain(`id="${place}"`)
    }
  })
})

import { spawnSync } from 'node:child_process'
import { copyFileSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const BIOME = join(ROOT, 'node_modules', '.bin', 'biome')

/** What each folder must not do, as lines of a file in it; each has to be refused by itself. */
const REFUSED: Readonly<Record<string, readonly string[]>> = {
  shared: [
    "import '../lib/scale/force.ts'",
    "import '../../lib/scale/force.ts'",
    "import '../gateway/clock.ts'",
    "import '../simulator/engine.ts'",
    "import '../app/layout.tsx'",
    "import 'node:fs'",
    "import 'fs'",
    "import 'fs/promises'",
    "import 'yaml'",
    "import '@scope/package'",
  ],
  lib: [
    "import '../gateway/clock.ts'",
    "import '../../gateway/clock.ts'",
    "import '../simulator/engine.ts'",
    "import '../app/layout.tsx'",
    "import 'node:fs'",
    "import 'fs'",
    "import 'yaml'",
    "import 'ws'",
    'export const now = Date.now()',
    'export const now = performance.now()',
    'export const bytes = crypto.getRandomValues(new Uint8Array(1))',
    'export const words = process.argv',
    'setTimeout(() => {}, 1)',
  ],
  gateway: ["import '../simulator/engine.ts'", "import '../app/layout.tsx'"],
  simulator: [
    "import '../gateway/clock.ts'",
    "import '../app/layout.tsx'",
    "import '../lib/scale/force.ts'",
    "import '../../lib/geometry/wrap.ts'",
    "import '../lib/quality/ne43.ts'",
  ],
  app: [
    "import '../gateway/clock.ts'",
    "import '../simulator/engine.ts'",
    "import '../lib/verdicts/judge.ts'",
    "import 'node:fs'",
    "import 'fs'",
  ],
}

const ALLOWED: Readonly<Record<string, readonly string[]>> = {
  shared: ["import 'zod'", "import './brand.ts'", "import '../quality.ts'"],
  lib: [
    "import '../shared/brand.ts'",
    "import '../../shared/schemas/config.ts'",
    "import './codec/types.ts'",
    "import 'fft.js'",
  ],
  gateway: ["import '../lib/scale/force.ts'", "import 'yaml'", "import 'node:fs'"],
  simulator: ["import '../lib/codec/encode.ts'", "import '../../lib/codec/types.ts'", "import 'node:fs'"],
  app: ["import '../lib/geometry/wrap.ts'", "import 'react'"],
}

const RULES = ['style/noRestrictedImports', 'style/noRestrictedGlobals']
const complaints = new Map<string, string>()
const key = (folder: string, line: string) => `${folder}: ${line}`

/** The project's rules over a tree of the same shape with one file a line, all in one run of the linter. */
let tree = ''
beforeAll(() => {
  tree = mkdtempSync(join(tmpdir(), 'evenpull-boundaries-'))
  copyFileSync(join(ROOT, 'biome.json'), join(tree, 'biome.json'))
  const names = new Map<string, string>()
  for (const [kind, table] of Object.entries({ refused: REFUSED, allowed: ALLOWED }))
    for (const [folder, lines] of Object.entries(table)) {
      mkdirSync(join(tree, folder, kind), { recursive: true })
      for (const [i, line] of lines.entries()) {
        const path = join(folder, kind, `line-${i}.ts`)
        writeFileSync(join(tree, path), `${line}\n`)
        names.set(path, key(folder, line))
        complaints.set(key(folder, line), '')
      }
    }
  for (const { category, location } of lint()) {
    const name = names.get(location.path)
    if (name !== undefined) complaints.set(name, category)
  }
})
afterAll(() => rmSync(tree, { recursive: true }))

interface Diagnostic {
  readonly category: string
  readonly location: { readonly path: string }
}

/** The linter exits 1 when it finds something, and says what all the same. */
function lint(): Diagnostic[] {
  const only = RULES.map((rule) => `--only=${rule}`)
  const { stdout } = spawnSync(
    BIOME,
    ['lint', ...only, '--reporter=json', '--max-diagnostics=none', '--vcs-enabled=false', '.'],
    {
      cwd: tree,
      encoding: 'utf8',
    },
  )
  return (JSON.parse(stdout) as { diagnostics: Diagnostic[] }).diagnostics
}

const cases = (table: Readonly<Record<string, readonly string[]>>) =>
  Object.entries(table).flatMap(([folder, lines]) => lines.map((line) => key(folder, line)))

describe('the boundaries between the folders', () => {
  test.each(cases(REFUSED))('refuse %s', (name) => {
    expect(complaints.get(name)).toMatch(/^lint\/style\/noRestricted/)
  })

  test.each(cases(ALLOWED))('let through %s', (name) => {
    expect(complaints.get(name)).toBe('')
  })

  test('lib has no randomness but a seeded one: the linter has no rule for that', () => {
    const files = readdirSync(join(ROOT, 'lib'), { recursive: true, encoding: 'utf8' }).filter((f) => f.endsWith('.ts'))
    expect(files.length).toBeGreaterThan(20)
    for (const name of files) expect(readFileSync(join(ROOT, 'lib', name), 'utf8'), name).not.toContain('Math.random')
  })
})

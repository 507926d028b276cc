import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from '@babel/parser'
import { isText } from './is-text.mjs'
import { LONE_WORDS } from './lone-words.mjs'
import { walk } from './walk.mjs'

const ROOT = new URL('../../..', import.meta.url).pathname

/** Whose words reach the page. The command line and what only writes files speak English alone. */
const FOLDERS = [
  'app',
  'lib',
  'shared',
  ...'access alarms config diagnosis forward http notes poller recorder reports shift spectrum stages stream training transports verification'
    .split(' ')
    .map((name) => `gateway/${name}`),
  // What a trainee does at the simulated machine, and what it answers.
  'simulator/technician',
  'simulator/faults',
  'simulator/training',
]

/** Documentation of the API, metrics and examples: read by programmers, in English. Commands and configs: typed as they stand. */
const API_WORDS =
  /^gateway\/http\/(routes|metrics|openapi|[\w-]*example)|^app\/manifest|^app\/help\/_model\/(commands|first-connection)|^(app\/_language|lib\/texts)\/|^gateway\/recorder\/driver|^gateway\/reports\/(style|html|marks)/

/** Help shows what these schemas say of their keys. */
const DESCRIBED = /^shared\/schemas\/config\/(limits|recorder)\.ts$/

const filesIn = (folder, recursive) => readdirSync(join(ROOT, folder), { recursive }).map((name) => `${folder}/${name}`)

/** @returns paths below the root, sorted */
function sources(folders = FOLDERS) {
  return [...folders.flatMap((folder) => filesIn(folder, true)), ...filesIn('gateway', false)]
    .filter((name) => !API_WORDS.test(name))
    .filter((name) => /\.tsx?$/.test(name) && !/\.d\.ts$|write-schema\.ts$|-worker\.ts$/.test(name))
    .sort()
}

const parsed = (path) =>
  parse(readFileSync(join(ROOT, path), 'utf8'), { sourceType: 'module', plugins: ['typescript', 'jsx'] }).program

/** `const NAME = 'text'` at the top of a file. */
function constantsOf(program) {
  const found = new Map()
  for (const statement of program.body) {
    const declaration = statement.type === 'ExportNamedDeclaration' ? statement.declaration : statement
    if (declaration?.type !== 'VariableDeclaration' || declaration.kind !== 'const') continue
    for (const { id, init } of declaration.declarations)
      if (id.type === 'Identifier' && init?.type === 'StringLiteral') found.set(id.name, init.value)
  }
  return found
}

function importedFrom(program, exported) {
  const found = new Map()
  for (const statement of program.body) {
    if (statement.type !== 'ImportDeclaration') continue
    for (const { imported, local } of statement.specifiers) {
      const value = exported.get(imported?.name)
      if (value !== undefined) found.set(local.name, value)
    }
  }
  return found
}

/** Every text that a reader can see, with the first file that says it. */
export function extract(paths = sources()) {
  const programs = paths.map((path) => [path, parsed(path)])
  const exported = new Map()
  for (const [, program] of programs) for (const [name, value] of constantsOf(program)) exported.set(name, value)
  const texts = new Map()
  for (const [path, program] of programs) {
    const constants = new Map([...importedFrom(program, exported), ...constantsOf(program)])
    const take = (key, position) => {
      if (isText(key, position, path) && !texts.has(key)) texts.set(key, path)
    }
    walk(program, constants, take, DESCRIBED.test(path))
  }
  for (const word of LONE_WORDS) if (!texts.has(word)) texts.set(word, 'tests/texts/extract/lone-words.mjs')
  return texts
}

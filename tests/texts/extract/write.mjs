#!/usr/bin/env node
/** `npm run texts`: writes shared/texts/en.json anew and says what other languages lack and have too much. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { extract } from './extract.mjs'

const FOLDER = new URL('../../../shared/texts/', import.meta.url)
const read = (name) => JSON.parse(readFileSync(new URL(name, FOLDER), 'utf8'))
const write = (name, value) => writeFileSync(new URL(name, FOLDER), `${JSON.stringify(value, null, 2)}\n`)

const texts = extract()
const english = Object.fromEntries([...texts].sort(([a, p], [b, q]) => (p === q ? (a < b ? -1 : 1) : p < q ? -1 : 1)))
write('en.json', english)
console.log(`en.json: ${texts.size} texts`)

for (const name of readdirSync(FOLDER).filter((file) => /^[a-z]{2}\.json$/.test(file) && file !== 'en.json')) {
  const other = read(name)
  // In the order of the English one; what nothing says any more goes.
  write(name, Object.fromEntries(Object.keys(english).flatMap((key) => (key in other ? [[key, other[key]]] : []))))
  const lacking = Object.keys(english).filter((key) => !(key in other))
  const gone = Object.keys(other).filter((key) => !(key in english))
  console.log(`${name}: ${lacking.length} to translate, ${gone.length} taken out`)
  for (const key of lacking) console.log(`  ${JSON.stringify(key)}  (${english[key]})`)
}

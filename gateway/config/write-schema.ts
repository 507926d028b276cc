import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { configJsonSchema } from './json-schema.ts'

/** Writes the JSON Schema of the config for editors: `node --import tsx gateway/config/write-schema.ts`. */
export const SCHEMA_FILE = fileURLToPath(new URL('../../shared/schemas/config.schema.json', import.meta.url))

export function schemaText(): string {
  return `${JSON.stringify(configJsonSchema(), null, 2)}\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(SCHEMA_FILE, schemaText())

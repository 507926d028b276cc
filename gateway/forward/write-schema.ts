import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { forwardMessage } from '../../shared/schemas/forward.ts'

/** Writes the JSON Schema of every message that is sent on: `node --import tsx gateway/forward/write-schema.ts`. */
export const MESSAGE_SCHEMA_FILE = fileURLToPath(new URL('../../shared/schemas/forward.schema.json', import.meta.url))

export function messageSchemaText(): string {
  const { $schema, ...rest } = z.toJSONSchema(forwardMessage, { io: 'output', target: 'draft-7', reused: 'ref' })
  return `${JSON.stringify({ $schema, title: 'Evenpull message, version 1', ...rest }, null, 2)}\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(MESSAGE_SCHEMA_FILE, messageSchemaText())

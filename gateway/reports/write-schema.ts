import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { verificationRecord } from '../../shared/schemas/verification.ts'

/** Writes the JSON Schema of a verification record for its readers: `node --import tsx gateway/reports/write-schema.ts`. */
export const RECORD_SCHEMA_FILE = fileURLToPath(
  new URL('../../shared/schemas/verification.schema.json', import.meta.url),
)

export function recordSchemaText(): string {
  const { $schema, ...rest } = z.toJSONSchema(verificationRecord, { io: 'output', target: 'draft-7' })
  return `${JSON.stringify({ $schema, title: 'Evenpull verification record', ...rest }, null, 2)}\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(RECORD_SCHEMA_FILE, recordSchemaText())

import { randomBytes } from 'node:crypto'
import { basename, dirname, join } from 'node:path'
import { TrainingDesk } from './desk.ts'
import { DeskServer } from './desk-server.ts'
import { TrainingRecords } from './records.ts'
import { RunningLine } from './running-line.ts'
import { putWhole } from './whole-file.ts'

export interface Training {
  /** What an instructor shows where nobody has to log in: new at every start, told here alone. */
  readonly instructorKey: string
  close(): Promise<void>
}

/** Starts the desk with a first, sound machine, and writes the config that a gateway runs. */
export async function startTraining(configPath: string, log: (line: string) => void): Promise<Training> {
  const secret = randomBytes(32).toString('base64url')
  const instructorKey = randomBytes(9).toString('base64url')
  const secretFile = join('.evenpull', `${basename(configPath)}.training-secret`)
  await putWhole(join(dirname(configPath), secretFile), `${secret}\n`)
  let url = ''
  const line = new RunningLine(configPath, () => ({ url, secretFile }))
  const records = await TrainingRecords.open(configPath, log)
  const desk = new TrainingDesk({ line, records, nowMs: Date.now })
  const server = new DeskServer({ desk, secret, key: instructorKey, log })
  const close = async () => {
    await server.close()
    await desk.close()
  }
  try {
    url = await server.listen()
    await desk.open()
  } catch (error) {
    await close()
    throw error
  }
  return { instructorKey, close }
}

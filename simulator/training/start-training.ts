import { randomBytes } from 'node:crypto'
import { rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { parse } from 'yaml'
import { EvenpullError } from '../../shared/errors.ts'
import { markOf, type Processes, runningWith } from '../../shared/process-mark.ts'
import { TrainingDesk } from './desk.ts'
import { DeskServer } from './desk-server.ts'
import { Journal } from './journal.ts'
import { TrainingRecords } from './records.ts'
import { RunningLine } from './running-line.ts'
import { putWhole, readIfThere } from './whole-file.ts'

export interface Training {
  /** What an instructor shows where nobody has to log in: new at every start, told here alone. */
  readonly instructorKey: string
  close(): Promise<void>
}

const PROCESSES: Processes = {
  signal: (pid) => process.kill(pid, 0),
  stat: (pid) => readIfThere(`/proc/${pid}/stat`),
}

/** Who runs this config's training machine. */
const markFile = (configPath: string) =>
  join(dirname(configPath), '.evenpull', `${basename(configPath)}.training-process`)

/**
 * Nothing that somebody else has written is written over, and no two machines write one config. Throws EVP_USAGE, naming
 * what is there.
 */
async function takeOver(configPath: string): Promise<void> {
  const text = await readIfThere(configPath)
  if (text !== null && !isTrainingConfig(text))
    throw new EvenpullError('EVP_USAGE', `${configPath} is another config: name a file for the training machine`)
  const other = await runningWith((await readIfThere(markFile(configPath))) ?? '', PROCESSES)
  if (other !== null && other !== process.pid)
    throw new EvenpullError('EVP_USAGE', `process ${other} is a training machine with ${configPath}: stop it first`)
  await putWhole(markFile(configPath), await markOf(process.pid, PROCESSES))
}

function isTrainingConfig(text: string): boolean {
  try {
    const value: unknown = parse(text)
    return typeof value === 'object' && value !== null && 'training' in value
  } catch {
    return false
  }
}

/** Starts the desk with a first, sound machine, and writes the config that a gateway runs. Rejects with EVP_USAGE. */
export async function startTraining(configPath: string, log: (line: string) => void): Promise<Training> {
  await takeOver(configPath)
  const secret = randomBytes(32).toString('base64url')
  const instructorKey = randomBytes(9).toString('base64url')
  const secretFile = join('.evenpull', `${basename(configPath)}.training-secret`)
  await putWhole(join(dirname(configPath), secretFile), `${secret}\n`)
  let url = ''
  const line = new RunningLine(configPath, () => ({ url, secretFile }))
  const records = await TrainingRecords.open(configPath, log)
  const journal = new Journal(configPath, log)
  const desk = new TrainingDesk({ line, records, journal, nowMs: Date.now, log })
  const server = new DeskServer({ desk, secret, key: instructorKey, log })
  const close = async () => {
    await server.close()
    await desk.close()
    await rm(markFile(configPath), { force: true })
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

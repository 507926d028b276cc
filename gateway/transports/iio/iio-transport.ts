import { join } from 'node:path'
import { monotonicMs } from '../../../shared/brand.ts'
import { EvenpullError } from '../../../shared/errors.ts'
import type { DeviceConfig } from '../../../shared/schemas/config.ts'
import { readMonotonic } from '../../clock.ts'
import { asEvenpullError } from '../../poller/failures.ts'
import type { PlannedRequest } from '../../poller/types.ts'
import type { PolledTransport, TransportAnswer } from '../transport.ts'
import { iioAttributes, iioValue } from './attributes.ts'
import { readAttribute, readNumber } from './read-attribute.ts'

export type IioDeviceConfig = Extract<DeviceConfig, { transport: 'iio' }>

/** A converter that has not delivered by then is treated as silent (common practice, no source). */
const DEADLINE_MS = 2000

/**
 * A converter under Linux Industrial I/O, read through sysfs: V for voltages, mA for currents.
 *
 * Scale and offset are read with every sample, since another program may change the range while
 * this one runs. An input that fails is null, with its error in `problems`; when all fail the read
 * rejects with EVP_IIO_READ, as it does for a device that is not the plain name of a folder. Reading a file is all it does: nothing is ever opened for writing.
 */
export class IioTransport implements PolledTransport {
  readonly counters = { violations: 0, lateAnswers: 0, reconnects: 0 }
  readonly #folder: string
  readonly #refusal: EvenpullError | null
  #name: string | null = null
  #pending: Promise<TransportAnswer> | null = null
  #closed = false

  constructor({ id, root, device }: IioDeviceConfig) {
    this.#folder = join(root, device)
    this.#refusal = isFolderName(device)
      ? null
      : new EvenpullError(
          'EVP_IIO_READ',
          `device ${id}: "${device}" must be the name of one folder under ${root}, such as iio:device0`,
        )
  }

  /** The folder, and the converter's own name for itself once it was read. */
  where(): string {
    return this.#name === null ? this.#folder : `${this.#folder} (${this.#name})`
  }

  async read(request: PlannedRequest): Promise<TransportAnswer> {
    if (this.#closed) throw new EvenpullError('EVP_DEVICE_CLOSED', `${this.#folder} was closed`)
    if (this.#refusal !== null) throw this.#refusal
    // A file read cannot be called off: while one hangs, another would only hang beside it.
    if (this.#pending !== null)
      throw new EvenpullError('EVP_IIO_READ', `${this.#folder}: an earlier read has not returned yet`)
    const pending = this.#readAll(request)
    this.#pending = pending
    const done = () => {
      this.#pending = null
    }
    pending.then(done, done)
    return await withDeadline(pending, `${this.#folder} did not deliver within ${DEADLINE_MS} ms`)
  }

  async close(): Promise<void> {
    this.#closed = true
  }

  async #readAll(request: PlannedRequest): Promise<TransportAnswer> {
    this.#name ??= await this.#readName()
    const start = readMonotonic()
    const words: (number | null)[] = []
    const problems: EvenpullError[] = []
    // One after the other: a converter with a multiplexer would queue them anyway.
    for (const { source } of request.items) {
      try {
        words.push(await this.#readInput(source ?? ''))
      } catch (error) {
        words.push(null)
        problems.push(asEvenpullError(error))
      }
    }
    const end = readMonotonic()
    const [first] = problems
    if (first !== undefined && problems.length === words.length) throw first
    return {
      tMs: monotonicMs((start + end) / 2),
      halfWidthMs: (end - start) / 2,
      words,
      ...(first === undefined ? {} : { problems }),
    }
  }

  async #readInput(channel: string): Promise<number> {
    const attributes = iioAttributes(channel)
    const raw = await readNumber(join(this.#folder, attributes.raw))
    if (raw === null) throw await this.#missing([attributes.raw])
    const scale = await this.#firstNumber(attributes.scale)
    // Without a scale the counts have no known unit; taking them for millivolts could be a wrong value.
    if (scale === null) throw await this.#missing(attributes.scale)
    return iioValue(attributes.kind, raw, scale, (await this.#firstNumber(attributes.offset)) ?? 0)
  }

  async #firstNumber(files: readonly string[]): Promise<number | null> {
    for (const file of files) {
      const value = await readNumber(join(this.#folder, file))
      if (value !== null) return value
    }
    return null
  }

  /** What the converter calls itself; null when it does not say, which is no reason not to read it. */
  async #readName(): Promise<string | null> {
    return await readAttribute(join(this.#folder, 'name')).catch(() => null)
  }

  async #missing(files: readonly string[]): Promise<EvenpullError> {
    // Every IIO device has `name`; without it the whole device is gone, not one file.
    const what = (await this.#readName()) === null ? 'no IIO device is there' : `there is no ${files.join(' nor ')}`
    return new EvenpullError('EVP_IIO_READ', `${this.#folder}: ${what}`)
  }
}

/** A plain name, so that a config cannot lead the gateway to other folders. */
function isFolderName(device: string): boolean {
  return !/[/\\\0]/.test(device) && device !== '.' && device !== '..'
}

async function withDeadline<T>(work: Promise<T>, message: string): Promise<T> {
  let timer: NodeJS.Timeout | undefined
  const deadline = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new EvenpullError('EVP_DEVICE_TIMEOUT', message)), DEADLINE_MS)
  })
  try {
    return await Promise.race([work, deadline])
  } finally {
    clearTimeout(timer)
  }
}

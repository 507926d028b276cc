import { constants } from 'node:fs'
import { open } from 'node:fs/promises'
import { EvenpullError } from '../../../shared/errors.ts'

/** sysfs hands out at most one page; a number needs far less. */
const MOST_BYTES = 256

/** The text of a sysfs attribute, trimmed; null when there is no such file. Throws EVP_IIO_READ when it cannot be read. */
export async function readAttribute(path: string): Promise<string | null> {
  try {
    // Not blocking, so that a pipe put in the place of an attribute cannot hold the line for ever.
    const file = await open(path, constants.O_RDONLY | constants.O_NONBLOCK)
    try {
      const { bytesRead, buffer } = await file.read(Buffer.alloc(MOST_BYTES), 0, MOST_BYTES, 0)
      return buffer.toString('utf8', 0, bytesRead).trim()
    } finally {
      await file.close()
    }
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    if (code === 'ENOENT') return null
    throw new EvenpullError('EVP_IIO_READ', `${path} cannot be read: ${reasonOf(code, error)}`, { cause: error })
  }
}

/** Decimal, as the kernel prints it; also with an exponent, which a made tree may use. */
const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/

/** The number in a sysfs attribute, or null when there is no such file. Throws EVP_IIO_READ on anything else. */
export async function readNumber(path: string): Promise<number | null> {
  const text = await readAttribute(path)
  if (text === null) return null
  const value = NUMBER.test(text) ? Number(text) : Number.NaN
  if (!Number.isFinite(value))
    throw new EvenpullError('EVP_IIO_READ', `${path} holds ${JSON.stringify(text.slice(0, 40))}: expected a number`)
  return value
}

function reasonOf(code: string | undefined, error: unknown): string {
  switch (code) {
    case 'EACCES':
    case 'EPERM':
      return 'this user may not read it'
    case 'EISDIR':
      return 'it is a folder'
    case 'ENODEV':
    case 'ENXIO':
      return 'the device has gone'
    case 'EBUSY':
      return 'the device is busy (is its buffer in use by another program?)'
    case 'EIO':
    case 'ETIMEDOUT':
      return 'the converter did not answer its driver'
    default:
      return error instanceof Error ? error.message : String(error)
  }
}

import { EvenpullError } from '../../shared/errors.ts'
import { ConfigErrors } from './errors.ts'

/**
 * Text of a file in UTF-8, with or without a byte order mark.
 * Throws ConfigErrors (EVP_CONFIG_YAML) with the place of the first byte that is not UTF-8.
 */
export function decodeUtf8(bytes: Uint8Array, file: string): string {
  const refuse = (message: string, line = 1, column = 1): never => {
    throw new ConfigErrors([new EvenpullError('EVP_CONFIG_YAML', message, { place: { file, line, column } })])
  }
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff))
    return refuse('the file is in UTF-16; save it as UTF-8')
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    const good = validPrefix(bytes)
    const lines = new TextDecoder().decode(bytes.subarray(0, good)).split('\n')
    const byte = (bytes[good] ?? 0).toString(16).padStart(2, '0')
    return refuse(`byte 0x${byte} is not UTF-8; save the file as UTF-8`, lines.length, (lines.at(-1) ?? '').length + 1)
  }
}

/** Length of the longest beginning that is whole UTF-8 characters. */
function validPrefix(bytes: Uint8Array): number {
  let low = 0
  let high = bytes.length
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (isPrefix(bytes.subarray(0, middle))) low = middle
    else high = middle - 1
  }
  while (low > 0 && !isWhole(bytes.subarray(0, low))) low -= 1
  return low
}

const isPrefix = (bytes: Uint8Array) => decodes(bytes, true)
const isWhole = (bytes: Uint8Array) => decodes(bytes, false)

function decodes(bytes: Uint8Array, stream: boolean): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream })
    return true
  } catch {
    return false
  }
}

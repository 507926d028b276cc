import { X509Certificate } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import { createSecureContext } from 'node:tls'
import { EvenpullError } from '../../shared/errors.ts'

/** A certificate (with its chain) and its key, PEM, as read. */
export interface TlsIdentity {
  readonly cert: Buffer
  readonly key: Buffer
}

/**
 * Reads what a config names; paths are relative to it. Throws EVP_TLS, saying which file and why, when one cannot be
 * read, is no PEM of its kind, or the two do not belong together; and when the certificate's time is over.
 */
export async function readTls(
  { cert: certPath, key: keyPath }: { readonly cert: string; readonly key: string },
  configPath: string,
  nowEpochMs: number,
): Promise<TlsIdentity> {
  const [cert, key] = await Promise.all([
    readPart('certificate', resolve(dirname(configPath), certPath)),
    readPart('key', resolve(dirname(configPath), keyPath)),
  ])
  try {
    const { validTo } = new X509Certificate(cert)
    if (Date.parse(validTo) < nowEpochMs) throw wrong(`certificate: ${certPath} was valid until ${validTo}`)
    createSecureContext({ key })
  } catch (cause) {
    if (cause instanceof EvenpullError) throw cause
    throw wrong(
      partThatFails(cert) ? `certificate: ${certPath} is no PEM certificate` : `key: ${keyPath} is no PEM key`,
      cause,
    )
  }
  try {
    createSecureContext({ cert, key })
  } catch (cause) {
    throw wrong(`key: ${keyPath} is not the key of ${certPath}`, cause)
  }
  return { cert, key }
}

function partThatFails(cert: Buffer): boolean {
  try {
    new X509Certificate(cert)
    return false
  } catch {
    return true
  }
}

async function readPart(what: string, path: string): Promise<Buffer> {
  try {
    return await readFile(path)
  } catch (cause) {
    throw wrong(`${what}: ${path} cannot be read (${(cause as NodeJS.ErrnoException).code ?? String(cause)})`, cause)
  }
}

const wrong = (message: string, cause?: unknown) => new EvenpullError('EVP_TLS', `gateway: tls: ${message}`, { cause })

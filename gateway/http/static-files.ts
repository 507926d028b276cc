import { createHash } from 'node:crypto'
import { readdir, readFile, stat } from 'node:fs/promises'
import { extname, join, relative, sep } from 'node:path'
import { EvenpullError } from '../../shared/errors.ts'
import { DATA_POLICY, pagePolicy } from './security-headers.ts'

/** One file of the built dashboard, ready to be sent. */
export interface StaticFile {
  readonly bytes: Buffer
  readonly headers: Readonly<Record<string, string>>
  readonly etag: string
}

const CONTENT_TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.map': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.svg': 'image/svg+xml; charset=utf-8',
  '.png': 'image/png',
  '.jpg': 'image/jpeg',
  '.webp': 'image/webp',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
}

/** The names of files under here change with their contents. */
const IMMUTABLE_FOLDER = '_next/static/'
const IMMUTABLE = 'public, max-age=31536000, immutable'
const REVALIDATE = 'no-cache'
const SETTLED_AFTER_MS = 2000
/** A dashboard is a few megabytes; a folder beyond this is not one. */
const MAX_TOTAL_BYTES = 64 * 1024 * 1024

/**
 * The built dashboard, read whole into memory: a request can only name what was found in the
 * folder, so no path leads out of it, and what is sent is what its policy was computed from.
 * Read again when the folder was built anew.
 */
export class StaticFiles {
  readonly #root: string
  #signature = ''
  #files: Promise<ReadonlyMap<string, StaticFile>> = Promise.resolve(new Map())

  constructor(root: string) {
    this.#root = root
  }

  /** The file for a URL path (decoded or not), or null. Throws EVP_NOT_FOUND when nothing was built. */
  async find(urlPath: string): Promise<StaticFile | null> {
    const files = await this.#current()
    for (const name of candidates(urlPath)) {
      const file = files.get(name)
      if (file !== undefined) return file
    }
    return null
  }

  /** The page for an address that does not exist, or null. */
  async notFoundPage(): Promise<StaticFile | null> {
    return (await this.#current()).get('404.html') ?? null
  }

  async #current(): Promise<ReadonlyMap<string, StaticFile>> {
    const signature = await folderSignature(this.#root)
    if (signature !== this.#signature) {
      this.#signature = signature
      this.#files = readFolder(this.#root)
    }
    try {
      return await this.#files
    } catch (error) {
      // Not remembered: the folder may have been in the middle of a build.
      this.#signature = ''
      throw error
    }
  }
}

/** Names a URL path may stand for, best first: a page goes before a folder of the same name. */
function candidates(urlPath: string): string[] {
  let path: string
  try {
    path = decodeURIComponent(urlPath)
  } catch {
    return []
  }
  const name = path.replace(/^\//, '').replace(/\/$/, '')
  if (name === '') return ['index.html']
  return path.endsWith('/') ? [`${name}.html`, `${name}/index.html`] : [name, `${name}.html`, `${name}/index.html`]
}

/** Changes when the folder is built anew. */
async function folderSignature(root: string): Promise<string> {
  try {
    const [folder, index] = await Promise.all([stat(root), stat(join(root, 'index.html'))])
    const newestMs = Math.max(folder.mtimeMs, index.mtimeMs)
    // A build may still be writing: what is read now must be read again when it has settled.
    const settled = Date.now() - newestMs > SETTLED_AFTER_MS ? 'settled' : Math.floor(Date.now() / SETTLED_AFTER_MS)
    return [folder.ino, folder.mtimeMs, index.ino, index.mtimeMs, index.size, settled].join()
  } catch {
    throw new EvenpullError('EVP_NOT_FOUND', 'The dashboard has not been built yet; the API and the stream work.', {
      remedy: 'Run `npm run build` in the project folder, then load this page again.',
    })
  }
}

async function readFolder(root: string): Promise<ReadonlyMap<string, StaticFile>> {
  const files = new Map<string, StaticFile>()
  let total = 0
  for await (const path of filesUnder(root)) {
    const bytes = await readFile(path)
    total += bytes.length
    if (total > MAX_TOTAL_BYTES)
      throw new EvenpullError('EVP_TOO_LARGE', `${root} holds more than ${MAX_TOTAL_BYTES} bytes: no built dashboard`)
    const name = relative(root, path).split(sep).join('/')
    files.set(name, staticFile(name, bytes))
  }
  return files
}

/** Regular files only: a symbolic link could lead out of the folder. */
async function* filesUnder(folder: string): AsyncGenerator<string> {
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) yield* filesUnder(path)
    else if (entry.isFile()) yield path
  }
}

function staticFile(name: string, bytes: Buffer): StaticFile {
  const extension = extname(name).toLowerCase()
  const etag = `"${createHash('sha256').update(bytes).digest('base64url').slice(0, 22)}"`
  return {
    bytes,
    etag,
    headers: {
      'content-type': CONTENT_TYPES[extension] ?? 'application/octet-stream',
      'content-security-policy': extension === '.html' ? pagePolicy(bytes.toString('utf8')) : DATA_POLICY,
      'cache-control': name.startsWith(IMMUTABLE_FOLDER) ? IMMUTABLE : REVALIDATE,
      etag,
    },
  }
}

import { statfs } from 'node:fs/promises'

/** Free bytes for this user where `folder` lies, as last asked; null before that, or where nobody can tell. */
export class FreeBytes {
  readonly #folder: string
  bytes: number | null = null

  constructor(folder: string) {
    this.#folder = folder
  }

  async ask(): Promise<void> {
    try {
      const { bavail, bsize } = await statfs(this.#folder)
      this.bytes = bavail * bsize
    } catch {
      this.bytes = null
    }
  }
}

import { readdirSync, readFileSync, readlinkSync } from 'node:fs'

/** A process as the kernel tells it. */
export interface ProcessFacts {
  readonly rssMb: number
  readonly threads: number
  readonly fds: number
}

/** Linux only; null when the process is gone. */
export function factsOf(pid: number): ProcessFacts | null {
  try {
    const status = readFileSync(`/proc/${pid}/status`, 'utf8')
    const number = (name: string) => Number(new RegExp(`^${name}:\\s+(\\d+)`, 'm').exec(status)?.[1] ?? Number.NaN)
    return {
      rssMb: (number('VmRSS') * 1024) / 1e6,
      threads: number('Threads'),
      fds: readdirSync(`/proc/${pid}/fd`).length,
    }
  } catch {
    return null
  }
}

/** What each open file of a process is: a path, or a kind (`socket`, `pipe`, `anon_inode:[eventpoll]`), sorted. */
export function openFilesOf(pid: number): readonly string[] {
  const folder = `/proc/${pid}/fd`
  const files: string[] = []
  try {
    for (const name of readdirSync(folder))
      try {
        files.push(readlinkSync(`${folder}/${name}`).replace(/^(socket|pipe):\[\d+\]$/, '$1'))
      } catch {
        // Closed meanwhile: the folder's own was.
      }
  } catch {
    // The process is gone.
  }
  return files.sort()
}

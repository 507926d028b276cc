import { readdirSync, readFileSync } from 'node:fs'

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

import { readdirSync, readFileSync } from 'node:fs'

/** Processes whose parent is `pid`, by the kernel's own account. */
export function childrenOf(pid: number): number[] {
  try {
    const tasks = readdirSync(`/proc/${pid}/task`).map((task) =>
      readFileSync(`/proc/${pid}/task/${task}/children`, 'utf8'),
    )
    return tasks.flatMap((line) => line.split(' ').filter(Boolean).map(Number))
  } catch {
    return []
  }
}

/** Children, their children, and so on. */
export const descendantsOf = (pid: number): number[] =>
  childrenOf(pid).flatMap((child) => [child, ...descendantsOf(child)])

/** A process that has ended and waits to be collected is not alive. */
export const isAlive = (pid: number): boolean => {
  try {
    process.kill(pid, 0)
    return !/\) Z /.test(readFileSync(`/proc/${pid}/stat`, 'utf8'))
  } catch {
    return false
  }
}

/** Environment a process was started with; empty when it is gone. */
export function environmentOf(pid: number): Readonly<Record<string, string>> {
  try {
    const words = readFileSync(`/proc/${pid}/environ`, 'utf8').split('\0').filter(Boolean)
    return Object.fromEntries(
      words.map((word) => [word.slice(0, word.indexOf('=')), word.slice(word.indexOf('=') + 1)]),
    )
  } catch {
    return {}
  }
}

/** Words a process was started with; empty when it is gone. */
export function wordsOf(pid: number): string {
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8').replaceAll('\0', ' ')
  } catch {
    return ''
  }
}

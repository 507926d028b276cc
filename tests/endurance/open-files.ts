import type { TimedRest } from './run.ts'

/** Open files of a process at the first and at the last rest of the long stretch, and what is there more at the last. */
export interface FilesOver {
  readonly begin: number
  readonly end: number
  readonly more: readonly string[]
}

export interface OpenFiles {
  readonly gateway: FilesOver
  readonly polling: FilesOver
}

/**
 * At rest nobody visits, and nothing is played at a speed that no line has: what is open then is what the process holds.
 * A part of two rests each at least: what one of them caught in passing does not count.
 */
export function openFilesOver(rests: readonly Pick<TimedRest, 'isInStretch' | 'files'>[]): OpenFiles {
  const stretch = rests.filter(({ isInStretch }) => isInStretch)
  const part = Math.max(2, Math.ceil(stretch.length / 4))
  const [first, last] = [stretch.slice(0, part), stretch.slice(-part)]
  const over = (of: 0 | 1): FilesOver => {
    const [begin, end] = [first, last].map((some) => fewest(some.map(({ files }) => files[of])))
    return { begin: begin?.length ?? 0, end: end?.length ?? 0, more: moreThan(begin ?? [], end ?? []) }
  }
  return { gateway: over(0), polling: over(1) }
}

const fewest = (lists: readonly (readonly string[])[]): readonly string[] =>
  lists.reduce<readonly string[] | undefined>(
    (least, list) => (least === undefined || list.length < least.length ? list : least),
    undefined,
  ) ?? []

/** What stands in the second list oftener than in the first. */
function moreThan(begin: readonly string[], end: readonly string[]): string[] {
  const left = [...begin]
  return end.filter((file) => {
    const at = left.indexOf(file)
    if (at < 0) return true
    left.splice(at, 1)
    return false
  })
}

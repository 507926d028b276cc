import { type Finding, wrong } from '../finding.ts'
import type { Part, Parts } from '../parts.ts'

/** Two devices, two channels or two zones with one id. */
export function checkRepeatedIds({ written }: Parts): Finding[] {
  return Object.values(written).flatMap(repeated)
}

function repeated(ids: readonly Part<string>[]): Finding[] {
  const first = new Map<string, Part<string>>()
  return ids.flatMap((id) => {
    const earlier = first.get(id.value)
    if (earlier === undefined) first.set(id.value, id)
    if (earlier === undefined) return []
    const [list, index] = earlier.path
    return [wrong([...id.path, 'id'], `the id ${id.value} is taken by ${list}[${index}]; ids are given once`)]
  })
}

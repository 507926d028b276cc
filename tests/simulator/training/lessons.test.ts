import { describe, expect, it } from 'vitest'
import { FAULT_IDS } from '../../../shared/faults.ts'
import { LESSONS } from '../../../simulator/training/lessons.ts'
import { trialOf } from '../../../simulator/training/place.ts'
import { shortestFor } from '../../../simulator/training/shortest.ts'
import { trainingLine } from '../../../simulator/training/training-lines.ts'
import { TwinRuns } from '../../../simulator/training/twin-runs.ts'

describe('the track of lessons', () => {
  it('has a dozen and more, each with a name, a cause and a test of its own', () => {
    expect(LESSONS.length).toBeGreaterThanOrEqual(12)
    expect(new Set(LESSONS.map(({ id }) => id)).size).toBe(LESSONS.length)
    expect(new Set(LESSONS.map(({ fault }) => fault.fault)).size).toBe(LESSONS.length)
  })

  it.each(LESSONS)('$id tells neither cause nor side in its task', ({ task, title, fault }) => {
    const told = `${title} ${task}`.toLowerCase()
    for (const id of FAULT_IDS) expect(told).not.toContain(id)
    expect(told).not.toMatch(/drive side|operator side/)
    expect(fault.severity).not.toBe(0)
  })

  it.each(LESSONS)(
    '$id is solved by its own shortest path, act by act on its own machine',
    { timeout: 60_000 },
    (lesson) => {
      const line = trainingLine(lesson.line)?.scenario
      if (line === undefined) throw new Error(`no line ${lesson.line}`)
      const hidden = { line, faults: [lesson.fault], seed: lesson.seed }
      const runs = new TwinRuns(hidden)
      const path = shortestFor(hidden, runs, lesson.fault)
      expect(path?.cause).toBe(lesson.fault.fault)
      const { technician } = trialOf(line, [lesson.fault], lesson.seed)
      for (const { act, args, zone } of path?.steps ?? []) {
        expect(technician.do(act, { ...args, zone }).refused, act).toBeUndefined()
      }
      // Its cost is what the acts cost; a running line has another speed by now, and with it another ramp.
      const seconds = path?.seconds ?? 0
      expect(Math.abs(technician.tally.seconds - seconds)).toBeLessThan(0.1 * seconds)
    },
  )
})

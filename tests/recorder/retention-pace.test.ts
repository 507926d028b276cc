import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BATCH_MS, FEWEST_ROWS, MOST_ROWS, RetentionPace } from '../../gateway/recorder/retention-pace.ts'

/** A disk: what a commit takes, and what a row that is deleted takes, in ms. */
const disks = fc.record({
  commitMs: fc.double({ min: 0, max: 500, noNaN: true }),
  rowMs: fc.double({ min: 0.0005, max: 0.2, noNaN: true }),
})
const tookMs = (rows: number, { commitMs, rowMs }: { commitMs: number; rowMs: number }) => commitMs + rows * rowMs

describe('the pace at which old data is let go of', () => {
  it('leaves the writer to itself for at least as long as the batch took, whatever that was', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 1e7, noNaN: true })), (times) => {
        const pace = new RetentionPace()
        for (const ms of times) {
          expect(pace.took(ms)).toBeGreaterThanOrEqual(ms)
          expect(Number.isInteger(pace.rows)).toBe(true)
          expect(pace.rows).toBeGreaterThanOrEqual(FEWEST_ROWS)
          expect(pace.rows).toBeLessThanOrEqual(MOST_ROWS)
        }
      }),
    )
  })

  it('comes within a few batches to those that take no longer than meant, where the fewest rows do not', () => {
    fc.assert(
      fc.property(disks, (disk) => {
        const pace = new RetentionPace()
        for (let i = 0; i < 30; i++) pace.took(tookMs(pace.rows, disk))
        expect(tookMs(pace.rows, disk)).toBeLessThanOrEqual(Math.max(BATCH_MS * 1.1, tookMs(FEWEST_ROWS, disk)))
      }),
    )
  })

  it('keeps up with a writer that writes whenever it is let, where a row is deleted in half the time it is written', () => {
    fc.assert(
      fc.property(
        fc.record({
          commitMs: fc.double({ min: 0, max: 20, noNaN: true }),
          rowMs: fc.double({ min: 0.002, max: 0.05, noNaN: true }),
        }),
        (disk) => {
          const pace = new RetentionPace()
          let backlog = 1_000_000
          let batches = 0
          for (; backlog > 0 && batches < 5000; batches++) {
            const { rows } = pace
            const restMs = pace.took(tookMs(rows, disk))
            backlog += restMs / (2 * disk.rowMs) - rows
          }
          expect(backlog).toBeLessThanOrEqual(0)
        },
      ),
    )
  })

  it('is ahead of a line of a hundred channels on a disk that takes five seconds to commit', () => {
    const pace = new RetentionPace()
    const disk = { commitMs: 5000, rowMs: 0.1 }
    for (let i = 0; i < 10; i++) pace.took(tookMs(pace.rows, disk))
    const ms = tookMs(pace.rows, disk)
    const perSecond = (1000 * pace.rows) / (ms + pace.took(ms))
    // Of each channel a row of 10 s, and those of 1 min, 10 min and 1 h.
    expect(perSecond).toBeGreaterThan(100 * (1 / 10 + 1 / 60 + 1 / 600 + 1 / 3600))
  })
})

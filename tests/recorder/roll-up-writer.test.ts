import { DatabaseSync } from '@photostructure/sqlite'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ChannelNumbers } from '../../gateway/recorder/channel-numbers.ts'
import { sliceOf } from '../../gateway/recorder/column-buffer.ts'
import type { Database } from '../../gateway/recorder/driver.ts'
import { revisionInForce } from '../../gateway/recorder/revision-in-force.ts'
import { RollUpWriter } from '../../gateway/recorder/roll-up-writer.ts'
import { scalesOf } from '../../gateway/recorder/scales-of-config.ts'
import { migrate } from '../../gateway/recorder/schema.ts'
import { BYTES_A_ROLL_UP, sizeOf } from '../../gateway/recorder/sizes.ts'
import type { ChannelColumn } from '../../lib/store-codec/block.ts'
import { ticksOf } from '../../lib/store-codec/times.ts'
import { madeConfig, START_MS } from './support/made-store.ts'

/** Counts a second apart, 1/8 N each: sums of them are exact in whatever order. */
const columnOf = (raws: readonly number[]): ChannelColumn => ({
  channel: 1,
  revision: 1,
  ticks: Float64Array.from(raws, (_, i) => ticksOf(START_MS + i * 1000)),
  raws: Float64Array.from(raws),
  codes: new Uint8Array(raws.length),
})

/** Remembers what it was asked to prepare. */
class Remembering extends DatabaseSync {
  readonly statements: string[] = []
  override prepare(...args: Parameters<Database['prepare']>) {
    this.statements.push(args[0])
    return super.prepare(...args)
  }
}

function written(pieces: readonly ChannelColumn[]) {
  const db = new Remembering(':memory:')
  migrate(db, ':memory:')
  const numbers = new ChannelNumbers(db)
  const channel = numbers.of('ds')
  const revision = revisionInForce(db, 'aaaaaaaaaaaa', START_MS, scalesOf(madeConfig()))
  const writer = new RollUpWriter(db, numbers)
  for (const piece of pieces) writer.write({ ...piece, channel, revision })
  const { statements } = db
  return {
    db,
    statements,
    rows: db.prepare('SELECT * FROM rollup ORDER BY level, t').all(),
    bytes: sizeOf(db, 'roll_ups'),
  }
}

describe('roll-ups written piece by piece', () => {
  it('are those of all samples at once, and count each row of 10 s once, wherever the pieces were cut', () => {
    const raws = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1, maxLength: 200 })
    fc.assert(
      fc.property(raws, fc.array(fc.nat(200), { maxLength: 6 }), (values, cuts) => {
        const column = columnOf(values)
        const edges = [0, ...cuts.filter((at) => at < values.length).sort((a, b) => a - b), values.length]
        const pieces = edges.slice(1).map((to, i) => ({ ...column, ...sliceOf(column, edges[i] ?? 0, to) }))
        const [whole, cut] = [written([column]), written(pieces)]
        expect(whole.rows).not.toEqual([])
        expect(cut.rows).toEqual(whole.rows)
        expect(cut.bytes).toBe(whole.bytes)
        expect(cut.bytes).toBe(
          whole.rows.filter((row) => (row as { level: number }).level === 10).length * BYTES_A_ROLL_UP,
        )
        for (const { db } of [whole, cut]) db.close()
      }),
      { numRuns: 60 },
    )
  })

  it('ask SQLite for no table of its own: one would be made and thrown away with each row', () => {
    const column = columnOf([1, 2, 3])
    const { db, statements } = written([column, column])
    const makesTable = (sql: string) =>
      (db.prepare(`EXPLAIN ${sql}`).all() as { opcode: string }[]).some(({ opcode }) => opcode === 'OpenEphemeral')
    const own = statements.filter((sql) => /^(INSERT INTO|UPDATE) rollup/.test(sql))
    expect(own.length).toBeGreaterThanOrEqual(2)
    expect(own.filter(makesTable)).toEqual([])
    expect(makesTable(`${own[0]} RETURNING n`), 'one that does').toBe(true)
    db.close()
  })
})

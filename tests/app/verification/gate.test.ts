import { describe, expect, it } from 'vitest'
import { type GateInputs, lookAtGate } from '../../../app/verification/_model/gate.ts'
import type { QualityCode } from '../../../shared/quality.ts'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import { ringWith } from '../plot-rows.ts'

type Gate = GateInputs['spec']['gate']
const steadyPicture = (state: string) => ({ steady: { state, sentence: 'speed is changing' } }) as unknown as ZoneNow

/** Ten seconds at 20/s from t = 0, force by time; the sides are read at its end. */
function look(
  gate: Gate,
  force: (s: number) => number,
  more: Partial<GateInputs> & { codes?: (s: number) => QualityCode } = {},
) {
  const { codes = () => 'good', ...inputs } = more
  const rows = Array.from({ length: 201 }, (_, i) => {
    const code = codes(i / 20)
    return { t: i * 50, values: [force(i / 20), force(i / 20)] as const, codes: [code, code] as const }
  })
  return lookAtGate({
    spec: { gate, seconds: 3 },
    ring: ringWith(rows),
    sides: ['drive_side', 'operator_side'],
    now: null,
    begunMs: 0,
    fromMs: 0,
    nowMs: 10_000,
    ...inputs,
  })
}
/** Small and regular, as a standing signal's noise. */
const standing = (s: number) => 100 + 0.1 * Math.sin(s * 1000)

describe('the gate before a capture', () => {
  it.each(['any', 'still', 'steady', 'movement'] as const)('%s takes nothing while no sample comes', (gate) => {
    expect(look(gate, standing, { nowMs: 20_000, now: steadyPicture('steady') })).toMatchObject({
      kind: 'waiting',
      words: 'waits for samples',
    })
  })

  it('still takes what stands, and waits with the reason while it moves', () => {
    expect(look('still', standing).kind).toBe('taken')
    expect(look('still', (s) => 100 + 40 * s)).toMatchObject({ kind: 'waiting', words: 'waits for it to stand still' })
  })

  it('still begins anew behind a bad sample', () => {
    const next = look('still', standing, { codes: (s) => (s === 9 ? 'no-answer' : 'good') })
    expect(next).toMatchObject({ kind: 'waiting', fromMs: 9001 })
  })

  it('steady waits for the gateway’s word, repeats its reason, and is not steady when there is none', () => {
    expect(look('steady', standing, { now: steadyPicture('steady') }).kind).toBe('taken')
    expect(look('steady', standing, { now: steadyPicture('unsteady') })).toMatchObject({
      kind: 'waiting',
      words: 'waits: speed is changing',
    })
    expect(look('steady', standing).kind).toBe('waiting')
  })

  it('movement asks for rest first, then for the movement, and takes both', () => {
    expect(look('movement', standing, { fromMs: 9000 })).toMatchObject({ words: expect.stringContaining('hold still') })
    expect(look('movement', standing, { fromMs: 7000 })).toMatchObject({
      words: expect.stringContaining('now: move it'),
    })
    expect(look('movement', standing)).toEqual({ kind: 'taken', fromMs: 0, toMs: 10_000 })
  })
})

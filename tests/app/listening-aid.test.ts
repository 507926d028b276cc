import { describe, expect, it } from 'vitest'
import { heardOf, pitchOf } from '../../app/_ui/live/listen/pitch.ts'
import { Tone } from '../../app/_ui/live/listen/tone.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { madeNow } from '../browser/support/made-line.ts'

function madeZone(drive: number | null, operator: number | null, imbalance: number | null = 1): ZoneNow {
  const [zone] = madeNow(1_760_000_000_000, 10)
  if (zone === undefined || 'single' in zone.sides || zone.imbalance === undefined) throw new Error('no two sides')
  const side = (name: 'drive_side' | 'operator_side', value: number | null) => {
    if ('single' in zone.sides) throw new Error('one cell')
    const own = zone.sides[name]
    const code = value === null ? ('wire-break' as const) : ('good' as const)
    return { ...own, live: { ...own.live, value, code } }
  }
  return {
    ...zone,
    imbalance: { ...zone.imbalance, value: imbalance, waiting: imbalance === null ? 'The web is slack.' : null },
    sides: { drive_side: side('drive_side', drive), operator_side: side('operator_side', operator) },
  }
}

describe('the pitch', () => {
  // Equal temperament (ISO 16: A is 440 Hz; M): an octave is twelve semitones, a fifth above A is E at 659.26 Hz.
  it('is A at 440 Hz for nothing, an octave for twelve percent, E at 659.26 Hz for seven', () => {
    expect(pitchOf(0)).toBe(440)
    expect(pitchOf(12)).toBeCloseTo(880, 9)
    expect(pitchOf(-12)).toBeCloseTo(220, 9)
    expect(pitchOf(7)).toBeCloseTo(659.26, 2)
  })
  it('stays within two octaves each way', () => {
    expect(pitchOf(100)).toBeCloseTo(1760, 9)
    expect(pitchOf(-100)).toBeCloseTo(110, 9)
  })
})

describe('what is heard', () => {
  it('250 N and 275 N are 4.76 %: 579 Hz, and the words say which side', () => {
    const heard = heardOf(madeZone(250, 275))
    expect(heard.hz).toBeCloseTo(440 * 2 ** ((100 * (25 / 525)) / 12), 6)
    expect(heard.words).toBe('Sounding: the operator side carries more.')
    expect(heardOf(madeZone(275, 250)).words).toBe('Sounding: the drive side carries more.')
    expect(heardOf(madeZone(250, 250)).words).toBe('Sounding: both sides carry alike.')
  })
  it('is silent, and says why, without a picture, with a bad side, and while the side difference waits', () => {
    expect(heardOf(null)).toMatchObject({ hz: null, words: expect.stringMatching(/^Silent: .*picture/) })
    expect(heardOf(madeZone(null, 250))).toMatchObject({ hz: null, words: 'Silent: a side gives no good sample.' })
    expect(heardOf(madeZone(1, 1, null))).toEqual({ hz: null, words: 'Silent: The web is slack.' })
  })
})

describe('the tone', () => {
  it('is silent until it is given a pitch, and again when there is none', () => {
    const told: string[] = []
    const param = (name: string) => ({
      value: 1,
      setValueAtTime: (value: number) => told.push(`${name} = ${value}`),
      setTargetAtTime: (value: number) => told.push(`${name} → ${Number(value.toFixed(3))}`),
    })
    const gain = param('gain')
    const node = { connect: () => {}, start: () => told.push('start'), stop: () => told.push('stop') }
    const context = {
      currentTime: 0,
      destination: {},
      createGain: () => ({ ...node, gain }),
      createOscillator: () => ({ ...node, frequency: param('pitch') }),
      close: async () => {},
    }
    const tone = new Tone(context as unknown as AudioContext, 0.5)
    expect(gain.value).toBe(0)
    tone.sound(440)
    tone.sound(466)
    tone.volume = 1
    tone.sound(null)
    tone.volume = 0.2
    tone.stop()
    expect(told).toEqual([
      'start',
      'pitch = 440',
      'gain → 0.25',
      'pitch → 466',
      'gain → 0.25',
      'gain → 1',
      'gain → 0',
      'stop',
    ])
  })
})

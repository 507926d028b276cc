import { describe, expect, it } from 'vitest'
import { after as told } from '../../../app/_ui/training/exercise-store.ts'
import { type AnswerDraft, EMPTY_FINDING, NOT_KNOWN, readAnswer } from '../../../app/training/_model/answer.ts'
import { EMPTY_FAULT, readFault } from '../../../app/training/_model/fault-form.ts'
import { lessonProgress, nextLesson } from '../../../app/training/_model/progress.ts'
import { EMPTY_SET, parsedSet, readSet } from '../../../app/training/_model/set-form.ts'
import type { FaultList, TrainingCatalogue, TrainingResult } from '../../../shared/schemas/training.ts'

const catalogue: TrainingCatalogue = {
  lines: [
    { id: 'one', title: 'One', zones: ['infeed'] },
    { id: 'two', title: 'Two', zones: ['infeed', 'outfeed'] },
  ],
  levels: [{ id: 'clear', title: 'Clear', about: '', mostFaults: 1, mayBeNothing: false }],
  lessons: [],
  causes: [
    { id: 'arrows-differ', title: 'Arrows differ', oneSided: true },
    { id: 'mains-hum', title: 'Hum', oneSided: false },
  ],
  remedies: [{ id: 'turn-arrow', title: 'Turn the arrow' }],
}
const draft = (part: Partial<AnswerDraft>): AnswerDraft => ({ verdict: 'causes', findings: [], ...part })
const arrows = { cause: 'arrows-differ', side: 'drive_side', zone: '', remedy: 'turn-arrow' }

describe('an answer', () => {
  it('says nothing until something is chosen; nothing wrong is the empty list', () => {
    expect(readAnswer(draft({ verdict: '' }), catalogue, ['infeed']).ok).toBe(false)
    expect(readAnswer(draft({ verdict: 'nothing', findings: [arrows] }), catalogue, ['infeed'])).toEqual({
      ok: true,
      findings: [],
    })
    expect(readAnswer(draft({ findings: [] }), catalogue, ['infeed']).ok).toBe(false)
  })

  it('takes the only zone by itself, and asks where there are two', () => {
    expect(readAnswer(draft({ findings: [arrows] }), catalogue, ['infeed'])).toEqual({
      ok: true,
      findings: [{ cause: 'arrows-differ', side: 'drive_side', zone: 'infeed', remedy: 'turn-arrow' }],
    })
    expect(readAnswer(draft({ findings: [arrows] }), catalogue, ['infeed', 'outfeed'])).toMatchObject({
      ok: false,
      at: 0,
    })
  })

  it('asks for the side of a cause that has one, and leaves it out of one that has none', () => {
    const noSide = { ...arrows, side: '' }
    expect(readAnswer(draft({ findings: [noSide] }), catalogue, ['infeed'])).toMatchObject({ ok: false, at: 0 })
    const hum = { ...EMPTY_FINDING, cause: 'mains-hum', side: 'drive_side', remedy: NOT_KNOWN }
    expect(readAnswer(draft({ findings: [hum] }), catalogue, ['infeed'])).toEqual({
      ok: true,
      findings: [{ cause: 'mains-hum', side: null, zone: 'infeed', remedy: null }],
    })
  })

  it('says which of several is not whole, or is named twice', () => {
    expect(readAnswer(draft({ findings: [arrows, EMPTY_FINDING] }), catalogue, ['infeed'])).toMatchObject({ at: 1 })
    expect(readAnswer(draft({ findings: [arrows, arrows] }), catalogue, ['infeed'])).toMatchObject({ at: 1 })
  })
})

const faults: FaultList = {
  faults: [
    {
      id: 'arrows-differ',
      title: 'Arrows differ',
      oneSided: true,
      unit: '°',
      least: 1,
      typical: 12,
      most: 40,
      eitherWay: true,
      onsets: ['constant', 'growing', 'of a kind this page does not know'],
    },
  ],
}
const typed = { ...EMPTY_FAULT, fault: 'arrows-differ', side: 'drive_side', severity: '12' }

describe('a fault that an instructor puts together', () => {
  it('goes in as typed, either way where it goes either way', () => {
    expect(readFault({ ...typed, severity: '-12' }, faults, ['infeed'])).toEqual({
      ok: true,
      fault: {
        fault: 'arrows-differ',
        zone: 'infeed',
        side: 'drive_side',
        severity: -12,
        onset: { kind: 'constant' },
      },
    })
    expect(readFault({ ...typed, severity: '41' }, faults, ['infeed']).ok).toBe(false)
    expect(readFault({ ...typed, severity: 'x' }, faults, ['infeed']).ok).toBe(false)
    expect(readFault({ ...typed, side: '' }, faults, ['infeed']).ok).toBe(false)
  })

  it('comes as chosen, with the numbers of that way alone', () => {
    const growing = { ...typed, onset: 'growing', times: { over_s: '300', from_c: '5' } }
    expect(readFault(growing, faults, ['infeed'])).toMatchObject({
      ok: true,
      fault: { onset: { kind: 'growing', after_s: 0, over_s: 300 } },
    })
    expect(readFault({ ...growing, times: { over_s: '0' } }, faults, ['infeed']).ok).toBe(false)
  })

  it('makes an exercise for a named trainee on a named line; no fault is a sound machine', () => {
    const set = { ...EMPTY_SET, trainee: ' A. Fitter ', line: 'one', faults: [typed] }
    expect(readSet(set, catalogue, faults)).toMatchObject({ ok: true, set: { trainee: 'A. Fitter', line: 'one' } })
    expect(readSet({ ...set, faults: [] }, catalogue, faults)).toMatchObject({ ok: true, set: { faults: [] } })
    expect(readSet({ ...set, trainee: ' ' }, catalogue, faults).ok).toBe(false)
    expect(readSet({ ...set, line: 'two' }, catalogue, faults)).toMatchObject({ ok: false })
    const seeded = { ...set, way: 'seed' as const, level: 'clear', seed: '7' }
    expect(readSet(seeded, catalogue, faults)).toMatchObject({ ok: true, set: { level: 'clear', seed: 7 } })
    for (const seed of ['', '-1', '1.5', '4294967296'])
      expect(readSet({ ...seeded, seed }, catalogue, faults).ok, seed).toBe(false)
  })

  it('survives being kept as text, and nothing else is taken for one', () => {
    const set = { ...EMPTY_SET, trainee: 'A', faults: [typed] }
    expect(parsedSet(JSON.stringify(set))).toEqual(set)
    expect(parsedSet('{"trainee":1}')).toEqual(EMPTY_SET)
    expect(parsedSet('')).toEqual(EMPTY_SET)
  })
})

const result = (part: Partial<TrainingResult>): TrainingResult => ({
  exercise: '00000000-0000-4000-8000-000000000000',
  trainee: 'A',
  kind: 'lesson',
  lesson: 'first',
  level: null,
  line: 'one',
  startedMs: 0,
  endedMs: 1,
  ended: 'handed-in',
  truth: [],
  answer: [],
  points: 8,
  most: 8,
  found: true,
  seconds: 600,
  shortestSeconds: null,
  unsafe: 0,
  refused: 0,
  hints: 0,
  changes: 0,
  ...part,
})

describe('progress', () => {
  it('of a lesson is the best time of those found and the safety of the last try', () => {
    const results = [
      result({ unsafe: 2, seconds: 100, found: false, points: 1 }),
      result({ seconds: 500, points: null }),
      result({ seconds: 700 }),
      result({ lesson: 'second', seconds: 1 }),
    ]
    expect(lessonProgress(results, 'first')).toEqual({
      tries: 3,
      isDone: true,
      bestSeconds: 500,
      bestPoints: { points: 8, most: 8 },
      lastUnsafe: 2,
    })
    expect(lessonProgress(results, 'third')).toMatchObject({ tries: 0, isDone: false, bestSeconds: null })
  })

  it('goes on with the first lesson that is not done', () => {
    const lessons = [{ id: 'first' }, { id: 'second' }]
    expect(nextLesson(lessons, [result({})])?.id).toBe('second')
    expect(nextLesson(lessons, [result({}), result({ lesson: 'second' })])).toBeNull()
  })
})

describe('what the page knows of the open exercise', () => {
  const open = (id: string) => ({ id }) as never
  const NONE = { exercise: undefined, failure: null, closed: null }

  it('one that is no longer open is remembered until another one is', () => {
    const first = told(NONE, open('a'))
    expect(first.closed).toBeNull()
    const ended = told(first, null)
    expect(ended).toEqual({ exercise: null, failure: null, closed: 'a' })
    expect(told(ended, null).closed).toBe('a')
    expect(told(ended, open('b')).closed).toBeNull()
  })

  it('one that was begun over another ends that one', () => {
    expect(told(told(NONE, open('a')), open('b'))).toMatchObject({ exercise: { id: 'b' }, closed: 'a' })
  })
})

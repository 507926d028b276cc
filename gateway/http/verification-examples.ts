import type { VerificationPlan } from '../../shared/schemas/verification/plan.ts'
import type {
  EntryList,
  NewEntry,
  NewVerification,
  PreviewAsk,
  PreviewResult,
  RecordCheck,
  RecordEntry,
  VerificationList,
  VerificationRecord,
} from '../../shared/schemas/verification.ts'

const TIME_MS = 1_760_000_000_000
const KEY = '5d2c9a7e-3c1b-4f57-9d0e-6a1f0b9c7e21'
export const EXAMPLE_RECORD_ID = KEY
const HASH = '9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08'
const EARLIER_HASH = '60303ae22b998861bce3b28f33eec1be758a213c86c93c076dbe9f558c11c752'

export const examplePlan: VerificationPlan = {
  zone: 'unwind',
  zoneName: 'Unwind',
  sides: ['single'],
  revision: '9b07c51fe2a4',
  stages: [
    {
      id: 'fit',
      title: 'Fit',
      machine: 'Machine stopped and locked out.',
      caution: 'Lock out under the site’s procedure before anybody touches roller, shaft or cell.',
      tests: [
        {
          id: 'fit.runout',
          stage: 'fit',
          title: 'Runout of the shell',
          proves: 'The shell runs true.',
          effect: 'A shell out of round pulls the web once a turn, at any speed.',
          caution: null,
          steps: ['Set the dial on the shell at mid-span and turn the roller once by hand.'],
          fields: [
            {
              id: 'runout',
              label: 'Highest less lowest reading over a turn',
              kind: 'number',
              unit: 'mm',
              side: null,
              required: true,
              hint: null,
            },
          ],
          captures: [],
          applies: true,
          reason: null,
          automatic: false,
          asFoundAsLeft: true,
          limits: [{ text: 'Runout: at most 0.05 mm', source: 'common practice, no source' }],
        },
      ],
    },
  ],
  resultant: null,
  arrowTarget: null,
}

const result: PreviewResult['result'] = {
  figures: [
    {
      id: 'runout',
      title: 'Runout',
      side: null,
      point: null,
      value: 0.03,
      unit: 'mm',
      answer: null,
      u: 0.005,
      uRandom: 0,
      U: 0.01,
      k: 2,
      dof: null,
      limit: { low: null, high: 0.05, text: 'at most 0.05 mm', source: 'common practice, no source' },
      verdict: { state: 'inside', reason: { kind: 'inside' }, sentence: 'Inside its limit, uncertainty included.' },
      why: { formula: 'highest − lowest over one turn', source: 'dial gauge', inputs: [] },
    },
  ],
  state: 'inside',
  sentence: 'Runout 0.03 ± 0.01 mm (at most 0.05 mm): inside.',
  hints: [],
}

export const exampleEntry: RecordEntry = {
  seq: 1,
  key: '7a4b3f16-0f0e-4d6c-8a53-1d2f3c4b5a69',
  who: 'A. Fitter',
  timeMs: TIME_MS + 60_000,
  previous: EARLIER_HASH,
  hash: HASH,
  kind: 'result',
  test: 'fit.runout',
  title: 'Runout of the shell',
  phase: 'as-left',
  attempt: 1,
  values: { runout: 0.03 },
  captures: [],
  result,
  revision: '9b07c51fe2a4',
  software: '0.1.0',
}

export const exampleRecord: VerificationRecord = {
  head: {
    format: 'evenpull-verification/1',
    id: KEY,
    zone: 'unwind',
    zoneName: 'Unwind',
    plant: 'Example plant',
    line: 'Line 2',
    title: 'New cells at the unwind',
    begunBy: 'A. Fitter',
    begunMs: TIME_MS,
    revision: '9b07c51fe2a4',
    software: '0.1.0',
    plan: examplePlan,
    config: {},
  },
  entries: [exampleEntry],
  digest: HASH,
  signed: false,
}

export const exampleVerifications: VerificationList = {
  records: [
    {
      id: KEY,
      zone: 'unwind',
      title: exampleRecord.head.title,
      begunBy: 'A. Fitter',
      begunMs: TIME_MS,
      changedMs: TIME_MS + 60_000,
      entries: 1,
      signed: false,
      digest: HASH,
    },
  ],
}

export const exampleEntries: EntryList = { entries: [exampleEntry], digest: HASH, signed: false }
export const exampleCheck: RecordCheck = { id: KEY, whole: true, entries: 1, digest: HASH, broken: [] }
export const exampleNewVerification: NewVerification = { key: KEY, who: 'A. Fitter', title: exampleRecord.head.title }
export const exampleNewEntry: NewEntry = {
  kind: 'result',
  key: exampleEntry.key,
  who: 'A. Fitter',
  test: 'fit.runout',
  phase: 'as-left',
  values: { runout: 0.03 },
  captures: [],
}
export const examplePreviewAsk: PreviewAsk = {
  test: 'fit.runout',
  phase: 'as-left',
  values: { runout: 0.03 },
  captures: [],
}
export const examplePreview: PreviewResult = { result, captures: [] }

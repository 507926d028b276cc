import {
  AFTER_TIMEOUT_MS,
  ALL,
  always,
  BROKEN,
  doubledIntoNext,
  type Misbehaviour,
  oldBeforeNew,
  oneBehind,
  SCENARIO_TIMEOUT_MS,
  SILENT,
  sends,
  slowly,
  TCP,
} from './misbehaviour.ts'

/** Answers that are another request’s, or that come late, early or twice. */
export const ANSWERS: readonly Misbehaviour[] = [
  {
    name: 'transaction id of the request before',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ transactionId: t.request.transactionId - 1 })),
    meanwhile: 'error',
    codes: [...BROKEN, 'EVP_DEVICE_TIMEOUT'],
  },
  {
    name: 'transaction id never sent',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ transactionId: t.request.transactionId + 7 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'transaction id 256 too high',
    lines: TCP,
    times: 3,
    behave: sends((t) => t.frame({ transactionId: t.request.transactionId + 256 })),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'answer doubled in one segment',
    lines: ALL,
    times: 3,
    behave: sends((t) => Buffer.concat([t.frame(), t.frame()])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'answer and another answer in one segment',
    lines: ALL,
    times: 3,
    behave: sends((t) => Buffer.concat([t.frame(), t.frame({ words: t.words().map((w) => w ^ 1) })])),
    meanwhile: 'error',
    codes: BROKEN,
  },
  {
    name: 'answer doubled 1 ms later',
    lines: ALL,
    times: 20,
    behave: always((t) => {
      t.send(t.frame())
      t.sendAfter(1, t.frame())
    }),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer doubled 8 ms later',
    lines: ALL,
    times: 20,
    behave: always((t) => {
      t.send(t.frame())
      t.sendAfter(8, t.frame())
    }),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer doubled early into the next request',
    lines: ALL,
    times: 10,
    behave: doubledIntoNext(25, 3),
    well: slowly(25),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer doubled just before the next answer',
    lines: ALL,
    times: 10,
    behave: doubledIntoNext(25, 21),
    well: slowly(25),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
  {
    name: 'answer just after the timeout',
    lines: ALL,
    times: 2,
    behave: always((t) => t.sendAfter(SCENARIO_TIMEOUT_MS + 10, t.frame())),
    meanwhile: 'error',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'answer 40 ms after the timeout',
    lines: ALL,
    times: 2,
    behave: always((t) => t.sendAfter(AFTER_TIMEOUT_MS, t.frame())),
    meanwhile: 'error',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'answer 250 ms after the timeout',
    lines: ALL,
    times: 2,
    behave: always((t) => t.sendAfter(SCENARIO_TIMEOUT_MS + 250, t.frame())),
    meanwhile: 'error',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'answer to the request before in place of each answer',
    lines: ALL,
    times: 6,
    behave: oneBehind,
    meanwhile: 'mixed',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'late answer directly before the right one',
    lines: ALL,
    times: 2,
    behave: oldBeforeNew(0),
    meanwhile: 'mixed',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'late answer 30 ms before the right one',
    lines: ALL,
    times: 2,
    behave: oldBeforeNew(30),
    meanwhile: 'mixed',
    codes: [...SILENT, 'EVP_FRAME_INVALID'],
  },
  {
    name: 'whole answer that nobody asked for, 10 ms after the right one',
    lines: ALL,
    times: 10,
    behave: always((t) => {
      t.send(t.frame())
      // One register fewer than is asked for: on RTU nobody could tell a whole one from the answer to the next request.
      const words = t.words().map((w) => w ^ 0x5555)
      const unasked = t.frame({
        transactionId: t.request.transactionId + 1,
        words: t.carriesId ? words : words.slice(1),
      })
      t.sendAfter(10, unasked)
    }),
    meanwhile: 'mixed',
    codes: BROKEN,
  },
]

import { applyEvent } from '../../lib/alarms/apply-event.ts'
import type { AlarmEvent } from '../../lib/alarms/event.ts'
import type { AlarmRule } from '../../lib/alarms/rule.ts'
import { type AlarmMemory, firstMemory, memoryOf, stateName, takeUp } from '../../lib/alarms/state.ts'
import { type AlarmInput, step } from '../../lib/alarms/step.ts'

/**
 * A script of one alarm's life: `SECONDS WORD` pairs in one line.
 *
 *   seen:    outside, inside, between, unknown; a word ending in `…` goes on every second up to the next time
 *   told:    ack, shelve:SECONDS, unshelve, out, in
 *   nothing: look (only time goes on)
 *
 * `becomes` reads `SECONDS STATE` pairs: the state just after everything that the script says of that second.
 */
export function run(script: string, rule: AlarmRule) {
  let state = takeUp(firstMemory(0), 0)
  const events: AlarmEvent[] = []
  const states: { s: number; memory: AlarmMemory }[] = []
  for (const { s, input } of inputsOf(script)) {
    const stepped = step(rule, state, input, s * 1000)
    state = stepped.state
    events.push(...stepped.events)
    states.push({ s, memory: memoryOf(state) })
  }
  return {
    state,
    events,
    /** Kinds of the events with their second: `12 activated`. */
    trail: events.map(({ atMs, kind }) => `${atMs / 1000} ${kind}`).join(', '),
    at: (s: number): AlarmMemory => states.findLast((one) => one.s <= s)?.memory ?? firstMemory(0),
    replayed: events.reduce(applyEvent, firstMemory(0)),
  }
}

/** What a script is expected to show, beside what it did: equal strings when all is as expected. */
export function becomes(script: string, rule: AlarmRule, expected: string) {
  const { at } = run(script, rule)
  const wanted = pairs(expected)
  return {
    shown: wanted.map(([s]) => `${s} ${stateName(at(s))}`).join(' '),
    expected: wanted.map(([s, name]) => `${s} ${name}`).join(' '),
  }
}

function inputsOf(script: string): { s: number; input: AlarmInput }[] {
  const said = pairs(script)
  return said.flatMap(([s, word], i) => {
    if (!word.endsWith('…')) return [{ s, input: inputOf(word) }]
    const until = said[i + 1]?.[0] ?? s + 1
    const input = inputOf(word.slice(0, -1))
    return Array.from({ length: Math.max(1, Math.ceil(until - s)) }, (_, n) => ({ s: s + n, input }))
  })
}

function inputOf(word: string): AlarmInput {
  const [verb = '', number] = word.split(':')
  const who = 'A. Fitter'
  switch (verb) {
    case 'outside':
    case 'inside':
    case 'between':
    case 'unknown':
      return { kind: 'seen', condition: verb }
    case 'ack':
      return { kind: 'acknowledge', who }
    case 'shelve':
      return { kind: 'shelve', who, reason: 'being worked on', forMs: Number(number) * 1000 }
    case 'unshelve':
      return { kind: 'unshelve', who }
    case 'out':
      return { kind: 'take-out', who, reason: 'cell replaced' }
    case 'in':
      return { kind: 'put-back', who }
    case 'look':
      return { kind: 'time' }
    default:
      throw new Error(`a script knows no word ${word}`)
  }
}

function pairs(text: string): [number, string][] {
  const words = text.trim().split(/\s+/)
  return Array.from({ length: words.length / 2 }, (_, i) => [Number(words[2 * i]), words[2 * i + 1] ?? ''])
}

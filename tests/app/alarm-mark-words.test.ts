import { describe, expect, it } from 'vitest'
import { alarmMarkWords } from '../../app/_ui/shell/alarm-mark-words.ts'
import { exampleAlarms } from '../../gateway/http/alarm-examples.ts'
import type { AlarmList } from '../../shared/schemas/alarms.ts'

const none = { asking: 0, active: 0, unknown: 0, shelved: 0, outOfService: 0, off: 0, highest: null }
const words = (counts: Partial<AlarmList['counts']>, isHeard = true) =>
  alarmMarkWords({ ...exampleAlarms, counts: { ...none, ...counts } }, isHeard)

describe('what every page says of the alarms', () => {
  it('is that they are not known, before the gateway has told them and while it is not heard', () => {
    expect(alarmMarkWords(null, true)).toMatchObject({ loud: 'Alarms not known', mood: 'dark' })
    expect(words({ asking: 3, highest: 'high' }, false)).toMatchObject({ loud: 'Alarms not known', priority: null })
  })

  it('is first what waits for a person, with the highest priority', () =>
    expect(words({ asking: 2, active: 1, highest: 'high' })).toEqual({
      loud: '2 alarms not acknowledged',
      quiet: ['high priority', '1 active'],
      mood: 'asks',
      priority: 'high',
    }))

  it('then what is active and acknowledged, then what is unknown', () => {
    expect(words({ active: 1, highest: 'low' }).loud).toBe('1 alarm active, acknowledged')
    expect(words({ unknown: 4 })).toMatchObject({ loud: '4 alarms unknown', mood: 'dark' })
    expect(words({})).toEqual({ loud: 'No alarm', quiet: [], mood: 'calm', priority: null })
  })

  it('never leaves unsaid what is unknown, shelved, out of service or off, whatever else there is', () => {
    const aside = { unknown: 4, shelved: 1, outOfService: 2, off: 3 }
    for (const more of [{}, { active: 1 }, { asking: 1 }]) {
      const { loud, quiet } = words({ ...aside, ...more })
      expect([loud, ...quiet].join(' · ')).toMatch(/4 (alarms )?unknown.*1 shelved.*2 out of service.*3 off/)
    }
  })
})

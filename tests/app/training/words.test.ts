import { describe, expect, it } from 'vitest'
import { unitsOf } from '../../../app/_ui/units.tsx'
import { actsByDoing, isPlaced } from '../../../app/training/_model/act-groups.ts'
import {
  argsInWords,
  changeInWords,
  conditionRows,
  figureTitle,
  needsInWords,
  valueInWords,
} from '../../../app/training/_model/words.ts'
import type { TrainingAct } from '../../../shared/schemas/training.ts'
import { SI_CHOICE } from '../../../shared/unit-choice.ts'
import { ACTS } from '../../../simulator/technician/registry.ts'

const units = unitsOf(SI_CHOICE)

describe('what one does at the machine', () => {
  it('every act of the technician has its place in the page’s list', () => {
    expect(Object.keys(ACTS).filter((id) => !isPlaced(id))).toEqual([])
  })

  it('no act is lost, one that the page does not know stands last in its group', () => {
    const acts = [...Object.keys(ACTS), 'something-new'].map((id): TrainingAct => {
      return { id, title: id, group: 'loads', seconds: 1, caution: null, needs: {}, args: [] }
    })
    const listed = [...actsByDoing(acts).values()].flat()
    expect(listed.map(({ id }) => id).sort()).toEqual(acts.map(({ id }) => id).sort())
    expect(actsByDoing(acts).get('loads')?.at(-1)?.id).toBe('something-new')
  })

  it('the state that every act asks for can be said', () => {
    for (const act of Object.values(ACTS)) {
      const count = Object.keys(act.needs).length
      const words = needsInWords(act.needs as TrainingAct['needs'])
      expect(words.length, act.id).toBe(count)
      expect(words.join(), act.id).not.toMatch(/undefined|true|false/)
    }
  })

  it('what was said with an act is told in the words of its form', () => {
    const side = { name: 'side', title: 'Side', kind: 'choice' as const, unit: null, least: null, most: null }
    const choices = [{ value: 'drive_side', title: 'drive side' }]
    const force = { ...side, name: 'newtons', title: 'Force', kind: 'number' as const, unit: 'N', choices: [] }
    const act: TrainingAct = {
      id: 'push-end',
      title: 'Push',
      group: 'loads',
      seconds: 20,
      caution: null,
      needs: {},
      args: [
        { ...side, choices, required: true, standard: null },
        { ...force, required: false, standard: 100 },
      ],
    }
    expect(argsInWords(act, { side: 'drive_side', newtons: 80 })).toBe('drive side, 80\u00a0N')
    expect(argsInWords(undefined, { side: 'operator_side', path: { arriving_deg: 90, leaving_deg: 0 } })).toBe(
      'operator side, 90° to 0°',
    )
  })
})

describe('what came of it', () => {
  it('a measured value has its U and unit, in the reader’s units; what is seen is said', () => {
    expect(valueInWords({ value: 1.95, unit: 'mm', u: 0.034 }, units)).toBe('1.950\u00a0±\u00a00.068\u00a0mm')
    const imperial = unitsOf({ ...SI_CHOICE, force: 'lbf' })
    expect(valueInWords({ value: 44.482216, unit: 'N', u: 0.4448 }, imperial)).toBe('10.00\u00a0±\u00a00.20\u00a0lbf')
    expect(valueInWords({ value: true, unit: null, u: null }, units)).toBe('yes')
    expect(valueInWords({ value: 'twisted', unit: null, u: null }, units)).toBe('twisted')
    expect(valueInWords({ value: 24, unit: 'mA', u: 0 }, units)).toBe('24\u00a0mA')
  })

  it('a change has the U of the change; between words there is none', () => {
    const reading = { found: 77.9, sound: 80.1, unit: 'N', u: 0.3 }
    expect(changeInWords(reading, units)).toBe('−2.20\u00a0±\u00a00.60\u00a0N')
    expect(changeInWords({ found: true, sound: false, unit: null, u: null }, units)).toBeNull()
  })

  it('a change of temperature has no offset', () => {
    const fahrenheit = unitsOf({ ...SI_CHOICE, temperature: '°F' })
    expect(changeInWords({ found: 30, sound: 20, unit: '°C', u: 0.5 }, fahrenheit)).toMatch(/^18\.0/)
  })

  it('figures are named in plain words', () => {
    expect(figureTitle('end-clearance')).toBe('End clearance')
  })

  it('the six lines of the machine’s state say stopped apart from locked out, and what hangs on', () => {
    const rows = conditionRows({
      power: 'stopped',
      guards: 'open',
      driveEnabled: false,
      web: 'slack',
      roller: 'lifted off',
      loads: ['push', 'weight'],
    })
    expect(rows.map(({ value }) => value)).toEqual([
      'stopped, not locked out',
      'open',
      'disabled',
      'slack',
      'lifted off',
      'a push, a weight',
    ])
  })
})

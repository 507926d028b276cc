import { expect, it } from 'vitest'
import { alarmShelving, alarmTakenOut } from '../../shared/schemas/alarms.ts'

it.each([
  ['a line end', 'cell sent for repair\naccess: A. Fitter logged in.'],
  ['a carriage return', 'cell sent for repair\rnothing happened'],
  ['a command to the terminal', 'cell \u001b[2J sent'],
  ['a separator of lines', 'cell\u2028sent'],
])('a reason with %s is refused: it goes to the log, where it would be a line of somebody else’s', (_, reason) => {
  const who = 'A. Fitter'
  expect(alarmTakenOut.safeParse({ who, reason }).success).toBe(false)
  expect(alarmShelving.safeParse({ who, reason, minutes: 5 }).success).toBe(false)
})

it('a reason in any script is taken as it was typed', () => {
  for (const reason of ['Zelle zur Reparatur – zurück am 3.', '清掃中', 'می‌شود', '👩‍🔧 at it'])
    expect(alarmTakenOut.parse({ who: 'A. Fitter', reason }).reason).toBe(reason)
})

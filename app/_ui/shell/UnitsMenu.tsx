'use client'

import { UNIT_OPTIONS } from '../../../shared/unit-choice.ts'
import { chooseUnits, useUnits } from '../units.tsx'
import { Choice, Menu } from './Menu.tsx'

/** The reader's units: shown, never stored or computed with. */
export function UnitsMenu() {
  const { choice } = useUnits()
  return (
    <Menu id="units" label="Units">
      <Choice
        title="Force and tension"
        name="unit-force"
        options={UNIT_OPTIONS.force}
        chosen={choice.force}
        onChoose={(force) => chooseUnits({ force })}
      />
      <Choice
        title="Length"
        name="unit-length"
        options={UNIT_OPTIONS.length}
        chosen={choice.length}
        onChoose={(length) => chooseUnits({ length })}
      />
      <Choice
        title="Speed"
        name="unit-speed"
        options={UNIT_OPTIONS.speed}
        chosen={choice.speed}
        onChoose={(speed) => chooseUnits({ speed })}
      />
      <Choice
        title="Temperature"
        name="unit-temperature"
        options={UNIT_OPTIONS.temperature}
        chosen={choice.temperature}
        onChoose={(temperature) => chooseUnits({ temperature })}
      />
    </Menu>
  )
}

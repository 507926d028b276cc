import { FAULT_IDS, type FaultId } from '../../shared/faults.ts'
import { FAULTS } from '../faults/registry.ts'
import { ACTS, isActId } from '../technician/registry.ts'

/** Remedies that are no act at the machine: something else is put right. */
const ELSEWHERE: Readonly<Partial<Record<FaultId, string>>> = {
  'momentum-left-out': 'correct-basis-weight',
  'neighbour-roller': 'see-to-neighbour',
  'tension-change': 'see-to-drive',
}
const ELSEWHERE_TITLES: Readonly<Record<string, string>> = {
  'correct-basis-weight': 'Correct the basis weight that was told',
  'see-to-neighbour': 'See to the neighbouring roller',
  'see-to-drive': 'Have the drive’s own tension control put right',
}

/** Ids of what ends a cause. */
export function remediesOf(cause: FaultId): readonly string[] {
  const elsewhere = ELSEWHERE[cause]
  return elsewhere === undefined ? FAULTS[cause].remedies : [elsewhere]
}

/** Every remedy there is to choose from. */
export function remedyList(): { readonly id: string; readonly title: string }[] {
  const ids = [...new Set(FAULT_IDS.flatMap(remediesOf))]
  return ids.map((id) => ({ id, title: titleOf(id) })).sort((a, b) => a.title.localeCompare(b.title, 'en'))
}

const titleOf = (id: string): string => (isActId(id) ? ACTS[id].title : (ELSEWHERE_TITLES[id] ?? id))

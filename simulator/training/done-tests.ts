import type { TrainingDeed } from '../../shared/schemas/training.ts'
import type { ActId } from '../technician/registry.ts'
import type { TestPlace } from './place.ts'
import { isLook, type TrainingTest } from './training-test.ts'

/** What somebody has to have done to have seen what a test of looks alone shows; Live shows the rest by itself. */
const SEEN_AFTER: Readonly<Record<string, readonly ActId[]>> = {
  'bare-zero': ['take-web-off'],
  'stopped-against-running': ['stop'],
  'drives-without-web': ['take-web-off', 'enable-drive'],
}

/** Numbers of the deeds that make this test, whatever stood between them; none when one of its acts was not done. */
export function deedsOfTest(test: TrainingTest, place: TestPlace, deeds: readonly TrainingDeed[]): number[] {
  const done = deeds.filter(({ refused, zone }) => refused === null && zone === place.zone)
  const said = test.steps(place).flatMap((step) => (isLook(step) ? [] : [step]))
  const wanted = [...said, ...(SEEN_AFTER[test.id] ?? []).map((act) => ({ act, args: {} }))]
  const taken = new Set<number>()
  for (const { act, args } of wanted) {
    const side = 'side' in args ? args.side : undefined
    const one = done.find(
      (deed) => deed.act === act && !taken.has(deed.number) && (side === undefined || deed.args.side === side),
    )
    if (one === undefined) return []
    taken.add(one.number)
  }
  return [...taken].sort((a, b) => a - b)
}

/** Tests that Live shows to whoever looks, without an act. */
export const SEEN_BY_ITSELF: ReadonlySet<string> = new Set(['watch'])
